import { hasNumbers } from './carried';
import { kinds } from './judge';
import type { Refuse } from './kinds/kind';
import {
  type AnyKey,
  type AnyOpenQuestion,
  type AnyQuestion,
  type AnySheet,
  type Givens,
  type Key,
  openForms,
  type SealedQuestion,
  type Sheet,
} from './sheet';

/**
 * Define a sheet. Write `givens` before `questions`: then every formula knows its givens' types.
 *
 * @returns the sheet itself
 * @throws RangeError when ids, marks, units, tolerances or slips are not sound; the sentence names the question
 * @example
 * defineSheet({
 *   name: '08-a-hair',
 *   title: 'A hair in the beam',
 *   givens: (draw) => ({ diameter: draw.between('diameter', um(50), um(90), um(1)) }),
 *   questions: [{ id: '8.1', kind: 'written', asks: 'Why a hair is like a slit', marks: 3 }],
 * }).questions.length // 1
 */
export function defineSheet<Given extends Givens>(sheet: Sheet<Given>): Sheet<Given> {
  checkSheet(sheet);
  return sheet;
}

/**
 * Define the key of a sheet.
 *
 * @returns the key itself
 * @throws RangeError when a sealed question lacks its open form, a written one its mark scheme, or the two do not fit
 * @example
 * const sheet = defineSheet({
 *   name: '08-a-hair',
 *   title: 'A hair in the beam',
 *   givens: () => ({}),
 *   questions: [{ id: '8.1', kind: 'written', asks: 'Why a hair is like a slit', marks: 1 }],
 * });
 * const schemes = { '8.1': [{ marks: 1, point: 'Both bend the light at two edges.' }] };
 * defineKey({ sheet, sealed: {}, model: {}, schemes, instructor: '' }).sheet.title // 'A hair in the beam'
 */
export function defineKey<Given extends Givens>(key: Key<Given>): Key<Given> {
  checkKey(key);
  return key;
}

function wrong(where: string, what: string): never {
  throw new RangeError(`${where}: ${what}`);
}

/** Everything about a sheet that can be seen without drawing givens. */
function checkSheet(sheet: AnySheet): void {
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

function checkQuestion(sheet: AnySheet, question: AnyQuestion, number: string): void {
  const where = `Sheet ${sheet.name}, question ${question.id}`;
  if (!/^[1-9]\d*\.[1-9]\d*$/.test(question.id ?? ''))
    wrong(where, 'an id looks like 2.3: number of the sheet, number of the question.');
  if (number && question.id.split('.')[0] !== number)
    wrong(where, `the questions of this sheet begin with ${number}.`);
  if (!(Number.isInteger(question.marks) && question.marks > 0))
    wrong(where, `marks are a whole number above 0; they are ${question.marks}.`);
  if (!question.asks?.trim()) wrong(where, '`asks` needs a short title.');
  if (question.kind === 'written') return;
  if (question.kind !== 'sealed') {
    checkOpenQuestion(question, where);
    return;
  }
  if (!Object.hasOwn(kinds, question.answer))
    wrong(where, "`answer` is 'number', 'list', 'function' or 'word'.");
  kinds[question.answer].checkAnnounced?.(question, (what) => wrong(where, what));
}

/** One open question, also when it stands in a key. */
function checkOpenQuestion(question: AnyOpenQuestion, where: string): void {
  const refuse: Refuse = (what) => wrong(where, what);
  const names: string[] = question.slips.map(({ name }) => name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) refuse(`two slips are called “${twice}”.`);
  if (names.some((name) => !name?.trim())) refuse('a slip has no name.');
  kinds[question.kind].check(question, refuse);
}

/** Everything about a key that can be seen without drawing givens. */
function checkKey(key: AnyKey): void {
  checkSheet(key.sheet);
  const { name, questions } = key.sheet;
  for (const question of questions) {
    const where = `Key of ${name}, question ${question.id}`;
    if (question.kind === 'sealed') {
      const open = Object.hasOwn(key.sealed, question.id) ? key.sealed[question.id] : undefined;
      if (!open) wrong(where, 'it is sealed, so the key needs its open form under `sealed`.');
      checkPair(where, question, open);
    }
    if (question.kind === 'written') {
      const scheme = Object.hasOwn(key.schemes, question.id) ? key.schemes[question.id] : undefined;
      if (!scheme) wrong(where, 'it is written, so the key needs its mark scheme under `schemes`.');
      const sum = scheme.reduce((total, { marks }) => total + marks, 0);
      if (sum !== question.marks)
        wrong(where, `its mark scheme adds up to ${sum} marks, the sheet gives ${question.marks}.`);
    }
  }
  const isKind = (id: string, kind: string) =>
    questions.some((question) => question.id === id && question.kind === kind);
  checkCarried(key);
  for (const id of Object.keys(key.sealed))
    if (!isKind(id, 'sealed')) wrong(`Key of ${name}`, `the sheet has no sealed question ${id}.`);
  for (const id of Object.keys(key.schemes))
    if (!isKind(id, 'written')) wrong(`Key of ${name}`, `the sheet has no written question ${id}.`);
}

/** The open form must ask for what the student's side of the question announces. */
function checkPair(where: string, sealed: SealedQuestion, open: AnyOpenQuestion): void {
  if (open.id !== sealed.id) wrong(where, `its open form has the id ${open.id}.`);
  if (open.kind !== sealed.answer)
    wrong(where, `the sheet announces a ${sealed.answer}, the key holds a ${open.kind}.`);
  if (open.marks !== sealed.marks)
    wrong(where, `the sheet gives ${sealed.marks} marks, the key ${open.marks}.`);
  if ('unit' in open && open.unit !== sealed.unit)
    wrong(where, `the sheet asks for ${sealed.unit}, the key for ${open.unit}.`);
  checkOpenQuestion(open, where);
}

/** What follows from what: numbers from numbers that were asked for before. */
function checkCarried(key: AnyKey): void {
  const forms = openForms(key);
  const ids = key.sheet.questions.map(({ id }) => id);
  for (const [id, { follows, marks }] of Object.entries(key.carried ?? {})) {
    const where = `Key of ${key.sheet.name}, \`carried\` for ${id}`;
    const form = forms.find((one) => one.id === id);
    const earlier = forms.find((one) => one.id === follows);
    if (!hasNumbers(form)) wrong(where, 'the sheet has no such question with a number or a list.');
    if (!hasNumbers(earlier))
      wrong(where, `it follows ${follows}, which is no question with a number or a list.`);
    if (ids.indexOf(follows) >= ids.indexOf(id))
      wrong(where, `it follows ${follows}, which does not come before it.`);
    if (!(Number.isInteger(marks) && marks > 0 && marks <= form.marks))
      wrong(where, `its marks are a whole number from 1 to ${form.marks}; they are ${marks}.`);
  }
}
