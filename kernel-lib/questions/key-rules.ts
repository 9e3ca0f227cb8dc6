import { hasNumbers } from './carried';
import { openForms } from './open-forms';
import type { AnyKey, AnyQuestion, OpenQuestion, SealedQuestion } from './sheet';
import { checkOpenQuestion, checkSheet } from './sheet-rules';

function wrong(where: string, what: string): never {
  throw new RangeError(`${where}: ${what}`);
}

/** The open form must ask for what the student's side of the question announces. */
function checkPair(where: string, sealed: SealedQuestion, open: OpenQuestion<unknown>): void {
  if (open.id !== sealed.id) wrong(where, `its open form has the id ${open.id}.`);
  if (open.kind !== sealed.answer)
    wrong(where, `the sheet announces a ${sealed.answer}, the key holds a ${open.kind}.`);
  if (open.marks !== sealed.marks)
    wrong(where, `the sheet gives ${sealed.marks} marks, the key ${open.marks}.`);
  if ((open.kind === 'number' || open.kind === 'list') && open.unit !== sealed.unit)
    wrong(where, `the sheet asks for ${sealed.unit}, the key for ${open.unit}.`);
  checkOpenQuestion(open as AnyQuestion, where);
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

/** Everything about a key that can be seen without drawing givens. */
export function checkKey(key: AnyKey): void {
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
