import type { MimeBundle } from '../display/bundle';
import { escapeText } from '../display/bundle';
import { emit } from '../display/display';
import { sayError } from './answer';
import { givensFor } from './draw';
import { frozen } from './frozen';
import { judge } from './judge';
import type { AnySheet, Question } from './sheet';
import type { SheetGivens } from './sheet-givens';
import { readStudentNumber, sampleStudent } from './student-number';
import { noticeBundle, type SheetState, sheetState, type Verdict, verdictBundle } from './verdict';

/** The type that `begin` returns for a sheet: its own givens, or anything for a sheet that does not say them. */
// biome-ignore lint/suspicious/noExplicitAny: cells read givens by name without having to declare them
export type GivenOf<Name> = Name extends keyof SheetGivens ? SheetGivens[Name] : any;

/**
 * Begin a sheet: draws the givens that belong to the student number and shows what they are.
 * Running it again with the same number keeps all marks.
 *
 * @param sheet the sheet's name, such as `02-one-slit`
 * @param student 4 to 10 digits, best in quotes
 * @returns the givens: SI units and radians. They cannot be changed; an error says so
 * @throws RangeError when the sheet or the number is not known; the sentence says what to type
 * @example
 * const given = begin('02-one-slit', '204117');
 * given.width === begin('02-one-slit', 204117).width // true
 */
export function begin<Name extends string>(sheet: Name, student: string | number): GivenOf<Name> {
  const found = sheetNamed(sheet);
  const number = readStudentNumber(student);
  const work = startWork(found, number, givensFor(found, number));
  emit(beginBundle(found, number, work.given));
  // A copy of their own, drawn anew and frozen: answers are judged with the original.
  return frozen(givensFor(found, number)) as GivenOf<Name>;
}

const isSample =
  'These are the numbers of the sample student. Type your own student number above and run both cells again: your numbers are yours alone.';

function beginBundle(sheet: AnySheet, student: string, given: object): MimeBundle {
  const marks = sheet.questions.reduce((sum, question) => sum + question.marks, 0);
  const head = `${sheet.title}. Student ${student}, ${sheet.questions.length} questions, ${marks} marks.`;
  const lines = sheet.tells?.(given) ?? [];
  const items = lines.map((line) => `<li>${escapeText(line)}</li>`).join('');
  const sample = student === sampleStudent ? [isSample] : [];
  const notes = sample.map((note) => `<p><strong>${escapeText(note)}</strong></p>`).join('');
  return {
    'text/html': `${notes}<p>${escapeText(head)}</p>${items ? `<ul>${items}</ul>` : ''}`,
    'text/plain': [...sample, head, ...lines.map((line) => `  ${line}`)].join('\n'),
  };
}

/**
 * Check the answer to a question and show the verdict. The last answer counts; asking again never
 * costs a mark.
 *
 * @param id the question's number, such as `'2.1'`
 * @param answer in the unit that the question states, or with its unit: `unit('0.32 deg')`
 * @returns nothing: the verdict is shown
 * @example
 * begin('02-one-slit', '204117');
 * check('2.5', 80);
 * standing().questions[4].state // 'recorded'
 */
export function check(id: string, answer?: unknown, ...more: unknown[]): void {
  const asked = String(id);
  const work = workNow();
  const question = work?.sheet.questions.find((one) => one.id === asked);
  if (!work || !question || more.length > 0) {
    emit(() => noticeBundle(complaint(work, asked, question !== undefined, more.length)));
    return;
  }
  const { older, changed, leftBehind } = work;
  if (leftBehind.length > 0) {
    work.answers.delete(asked);
    work.verdicts.delete(asked);
    emit(() => noticeBundle(notThere(leftBehind[0])));
    return;
  }
  if (older.length > 0) {
    emit(() => noticeBundle(fromBefore(older, changed)));
    return;
  }
  work.answers.set(asked, answer);
  // Where nobody looks, whoever had the sheet run judges the answers himself.
  emit(() => judged(work, question, answer));
}

/** A value of other givens says nothing about these. */
function fromBefore(older: readonly string[], changed: Work['changed']): string {
  const names = older.slice(0, 3).join(', ');
  const [were, belong] = older.length === 1 ? ['was', 'belongs'] : ['were', 'belong'];
  if (changed === 'set-up')
    return `Not checked: ${names} ${were} computed before the set-up of the sheet was changed, and ${belong} to what stood there then. Run the sheet from the top, then every check speaks of what stands there now.`;
  return `Not checked: ${names} ${were} computed before the student number was changed, and ${belong} to other numbers than those above. Run the sheet from the top, then every check speaks of your numbers.`;
}

/** What a marker does not find is no answer: it runs the sheet once from the top. */
function notThere({ name, through, how, line }: LeftBehind): string {
  const begins = line === '' ? '' : ` It begins “${shortened(line)}”.`;
  const what = through === undefined ? name : `${through} is computed from ${name}, and ${name}`;
  const mends: Record<LeftBehind['how'], string> = {
    renamed: `is declared by no cell any more: its value is left over from what stood earlier in a cell that now begins “${shortened(line)}”. Declare ${name} there again, or use the new name wherever ${name} stands`,
    emptied: `is declared by no cell any more: the cell that had it is empty now. Press Ctrl+Z in that cell, or declare ${name} in a cell above`,
    removed: `is declared by no cell any more: the cell that had it was removed. Declare ${name} in a cell above`,
    failed: `has a value that is left over from an earlier run: the cell that declares it ended with an error.${begins} Mend that cell`,
    'further down': `is declared further down only.${begins} Move that line into a cell above`,
  };
  return `Not checked: ${what} ${mends[how]}, run that cell, then check again. Your sheet is marked in one run from the top, and there is no ${name} in it.`;
}

const shortened = (line: string) => (line.length > 60 ? `${line.slice(0, 59)}…` : line);

function complaint(work: Work | undefined, id: string, known: boolean, superfluous: number) {
  if (!work) return 'Run the cells at the top of the sheet first, then this one again.';
  const { title, questions } = work.sheet;
  if (!known) {
    const ids = questions.map((one) => one.id).join(', ');
    return `“${title}” has no question ${id.slice(0, 20)}. It has ${ids}.`;
  }
  return `check('${id}', …) takes one answer; ${superfluous + 1} were handed in. Decimals are written with a point, as in 0.32; several numbers stand in brackets, as in [1.2, 3.4].`;
}

function judged(work: Work, question: Question<object>, answer: unknown): MimeBundle {
  const { sheet, given, verdicts } = work;
  try {
    const verdict = judge(question, given, answer);
    verdicts.set(question.id, verdict);
    return verdictBundle(verdict, sheetState(sheet, verdicts));
  } catch (error) {
    const why = sayError(error).replace(/(?<![.!?])$/, '.');
    return noticeBundle(
      `Question ${question.id} could not be checked: ${why} Tell your instructor.`,
    );
  }
}

/** A name that the running cell has its value from, though no cell gives it that stands there now. */
export interface LeftBehind {
  readonly name: string;
  /** What the cell reads and what was computed from it; left out where the cell reads the name itself. */
  readonly through?: string;
  /** What became of the cell that gave it, or where that stands. */
  readonly how: 'renamed' | 'emptied' | 'removed' | 'failed' | 'further down';
  /** The first line of that cell. */
  readonly line: string;
}

/** The sheet that is being worked on in this kernel. */
export interface Work {
  readonly sheet: AnySheet;
  readonly student: string;
  readonly given: object;
  /** The last verdict on each question. */
  readonly verdicts: Map<string, Verdict>;
  /** The last answer to each question, as it was handed in. */
  readonly answers: Map<string, unknown>;
  /** Names that the running cell reads and that hold values of another student's numbers or set-up; the engine knows. */
  older: readonly string[];
  /** What was changed since those were computed. */
  changed: 'student number' | 'set-up';
  /** What it reads and no cell declares that stands there; the engine knows. */
  leftBehind: readonly LeftBehind[];
}

let current: Work | undefined;

/**
 * The sheet being worked on, with all that was handed in; undefined before `begin`.
 *
 * @example
 * begin('02-one-slit', '204117');
 * workNow().student // '204117'
 */
export const workNow = (): Work | undefined => current;

/** Begin, or go on where the same student left the same sheet. */
function startWork(sheet: AnySheet, student: string, given: object): Work {
  const goesOn = current?.sheet.name === sheet.name && current.student === student;
  const { verdicts, answers } =
    goesOn && current ? current : { verdicts: new Map(), answers: new Map() };
  const fresh = { older: [], changed: 'student number', leftBehind: [] } as const;
  current = { sheet, student, given, verdicts, answers, ...fresh };
  return current;
}

/**
 * Forget the sheet being worked on.
 *
 * @example
 * begin('02-one-slit', '204117');
 * endWork();
 * standing() // undefined
 */
export function endWork(): void {
  current = undefined;
}

/**
 * Where the sheet being worked on stands, for the kernel and the page; undefined before `begin`.
 *
 * @example
 * begin('02-one-slit', '204117');
 * standing().questions[0].state // 'open'
 */
export function standing(): SheetState | undefined {
  return current && sheetState(current.sheet, current.verdicts);
}

/** Finds a sheet by its name. The kernel, the marker and the tests each bring their own. */
export type FindSheet = (name: string) => AnySheet | undefined;

let findSheet: FindSheet | undefined;
let listNames: () => readonly string[] = () => [];

/**
 * Say where `begin` finds its sheets.
 *
 * @param find the sheet with that name, or undefined
 * @param names all names, for the message when one is not found
 * @example
 * const sheet = { name: '08-a-hair', title: 'A hair', givens: () => ({ diameter: um(70) }), questions: [] };
 * setSheetSource((name) => (name === sheet.name ? sheet : undefined));
 * begin('08-a-hair', '204117').diameter // 7.0e-5
 */
export function setSheetSource(
  find: FindSheet | undefined,
  names: () => readonly string[] = () => [],
): void {
  findSheet = find;
  listNames = names;
}

/** @throws RangeError when there is no such sheet */
export function sheetNamed(name: string): AnySheet {
  if (!findSheet)
    throw new RangeError('No worksheets are at hand here: begin works in a multislit notebook.');
  const sheet = typeof name === 'string' ? findSheet(name) : undefined;
  if (sheet) return sheet;
  const names = listNames();
  const there = names.length > 0 ? ` There are: ${names.join(', ')}.` : '';
  throw new RangeError(`There is no worksheet ${JSON.stringify(name)}.${there}`);
}
