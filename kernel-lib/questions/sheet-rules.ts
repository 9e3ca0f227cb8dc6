import { knownUnit } from '../quantity/known-unit';
import type { AnyQuestion, AnySheet, Tolerance } from './sheet';

function wrong(where: string, what: string): never {
  throw new RangeError(`${where}: ${what}`);
}

function checkTolerance(where: string, tolerance: Tolerance, hasUncertainty: boolean): void {
  const [[name, size] = ['', 0], ...more] = Object.entries(tolerance ?? {});
  if (more.length > 0 || !['relative', 'absolute', 'uncertainties'].includes(name))
    wrong(where, 'the tolerance is one of { relative }, { absolute } or { uncertainties }.');
  if (!(Number.isFinite(size) && size > 0))
    wrong(where, `the tolerance must be above 0; it is ${size}.`);
  if (name === 'relative' && size >= 0.5)
    wrong(where, `a relative tolerance of ${size} lets nearly anything agree; 0.005 means 0.5 %.`);
  if (name === 'uncertainties' && size > 5)
    wrong(where, `${size} standard uncertainties let nearly anything agree; 2 or 3 are usual.`);
  if (name === 'uncertainties' && !hasUncertainty)
    wrong(
      where,
      'a tolerance in uncertainties needs `uncertainty: (given) => …`, the standard uncertainty that sound work gives; otherwise a large enough one would always agree.',
    );
}

function checkUnit(where: string, unit: string | undefined): void {
  if (unit === undefined || !knownUnit(unit))
    wrong(where, `the unit ${JSON.stringify(unit)} is not known; for a plain number write '1'.`);
}

/** One open question, also when it stands in a key. */
export function checkOpenQuestion(question: AnyQuestion, where: string): void {
  if (question.kind === 'sealed' || question.kind === 'written') return;
  const names = question.slips.map(({ name }) => name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) wrong(where, `two slips are called “${twice}”.`);
  if (names.some((name) => !name?.trim())) wrong(where, 'a slip has no name.');
  if (question.kind === 'word') return;
  if (question.kind === 'function') {
    checkTolerance(where, question.tolerance, false);
    if ('uncertainties' in question.tolerance)
      wrong(where, 'a function has no uncertainty; use { relative } or { absolute }.');
    if (!question.signature) wrong(where, 'a function question needs its signature.');
    return;
  }
  checkUnit(where, question.unit);
  checkTolerance(where, question.tolerance, question.uncertainty !== undefined);
  const { uncertaintyWithin: within } = question;
  if (within !== undefined && !(Number.isFinite(within) && within > 1))
    wrong(where, `\`uncertaintyWithin\` is a factor above 1, such as 1.2 or 2; it is ${within}.`);
}

function checkQuestion(sheet: AnySheet, question: AnyQuestion, number: string): void {
  const where = `Sheet ${sheet.name}, question ${question.id}`;
  if (!/^[1-9]\d*\.[1-9]\d*$/.test(question.id ?? ''))
    wrong(where, 'an id looks like 2.3: number of the sheet, number of the question.');
  if (number && question.id.split('.')[0] !== number)
    wrong(where, `the questions of this sheet begin with ${number}.`);
  if (!(Number.isInteger(question.marks) && question.marks > 0))
    wrong(where, `marks are a whole number above 0; they are ${question.marks}.`);
  if (!question.asks?.trim()) wrong(where, '`asks` needs a short title.');
  checkOpenQuestion(question, where);
  if (question.kind !== 'sealed') return;
  if (!['number', 'list', 'function', 'word'].includes(question.answer))
    wrong(where, "`answer` is 'number', 'list', 'function' or 'word'.");
  if (question.answer === 'number' || question.answer === 'list') checkUnit(where, question.unit);
  if (question.answer === 'function' && !question.signature)
    wrong(where, 'a function question needs its signature.');
}

/** Everything about a sheet that can be seen without drawing givens. */
export function checkSheet(sheet: AnySheet): void {
  if (!/^[a-z0-9][a-z0-9-]*$/.test(sheet.name ?? ''))
    wrong(`Sheet ${sheet.name}`, 'a name is its folder: small letters, digits and hyphens.');
  if (!sheet.title?.trim()) wrong(`Sheet ${sheet.name}`, 'it needs a title.');
  if (sheet.questions.length === 0) wrong(`Sheet ${sheet.name}`, 'it has no questions.');
  const number = /^0*([1-9]\d*)-/.exec(sheet.name)?.[1] ?? '';
  const seen = new Set<string>();
  for (const question of sheet.questions) {
    checkQuestion(sheet, question, number);
    if (seen.has(question.id)) wrong(`Sheet ${sheet.name}`, `two questions are ${question.id}.`);
    seen.add(question.id);
  }
}
