import { byteOrderMark, refuseAll, rewriteRows, tableRows } from './csv';
import type { QuestionMark } from './judge-return';
import type { MarkRecord } from './record';
import { plainText } from './run-report';

/** A mark that a person set, whatever the marker had given. */
export interface ChangedMark {
  readonly student: string;
  readonly sheet: string;
  readonly question: string;
  readonly marks: number;
  readonly reason: string;
}

/** What a changed mark can be about. */
export interface Changeable {
  /** What each question can earn, by sheet, for the sheets that are being marked. */
  readonly outOf: ReadonlyMap<string, ReadonlyMap<string, number>>;
  /** All sheets there are: lines about those that are not being marked now are passed over. */
  readonly sheets: readonly string[];
  /** Students of the roster; without one, those who handed something in. */
  readonly students: ReadonlySet<string>;
  readonly handedIn: (student: string, sheet: string) => boolean;
}

const columns = ['student', 'sheet', 'question', 'marks', 'reason'] as const;

export const changedMarksHead = `${byteOrderMark}${columns.join(',')}\n`;

type Row = Readonly<Record<(typeof columns)[number], string>>;

/** Longest reason, UTF-16 units: half a page. */
const longestReason = 2000;

/**
 * Read the table of marks that a person changed: CSV as spreadsheets save it, a decimal comma is understood.
 *
 * @returns the changes for the sheets that are being marked
 * @throws RangeError that names every line that cannot be used, what stands there and what was expected
 */
export function readChangedMarks(text: string, known: Changeable): ChangedMark[] {
  const seen = new Map<string, string>();
  const problems: string[] = [];
  const changes = tableRows(text, columns).flatMap(({ where, aside, cell }): ChangedMark[] => {
    const row = Object.fromEntries(columns.map((name) => [name, cell(name).trim()])) as Row;
    const change = readRow(row, known);
    if (typeof change === 'string') problems.push(`${where} ${change}${aside}`);
    if (typeof change !== 'object') return [];
    const { student, sheet, question } = change;
    const id = `${student} ${sheet} ${question}`;
    const first = seen.get(id);
    if (first !== undefined)
      problems.push(
        `${where} changes ${question} of ${student} again, after ${first.toLowerCase()}; keep one of the two.${aside}`,
      );
    seen.set(id, first ?? where);
    return [change];
  });
  refuseAll(problems, 'No mark was changed.');
  return changes;
}

/** A row as a change, what is wrong with it, or undefined where it is about a sheet that is not marked now. */
function readRow(row: Row, known: Changeable): ChangedMark | string | undefined {
  const { student, sheet, reason } = row;
  const question = row.question.replace(',', '.');
  if (!known.sheets.includes(sheet))
    return `has "${sheet}" as sheet; there are ${known.sheets.join(', ')}.`;
  const questions = known.outOf.get(sheet);
  if (!questions) return undefined;
  const full = questions.get(question);
  if (full === undefined)
    return `has "${question}" as question of ${sheet}; it has ${[...questions.keys()].join(', ')}.`;
  if (!known.students.has(student))
    return `has "${student}" as student, who is neither in the roster nor among the returns.`;
  if (!known.handedIn(student, sheet))
    return `changes a mark of ${student} for ${sheet}, but no return of it is here.`;
  const marks = Number(row.marks.replace(',', '.'));
  if (row.marks === '' || !(marks >= 0 && marks <= full))
    return `has "${row.marks}" as marks for ${question}; a number from 0 to ${full} is expected.`;
  if (reason === '') return 'gives no reason; the student and your colleagues will ask for one.';
  return { student, sheet, question, marks, reason: plainText(reason, longestReason) };
}

/** What a line of the table is about. */
export type ChangedPlace = Pick<ChangedMark, 'student' | 'sheet' | 'question'>;

export const placeOf = ({ student, sheet, question }: ChangedPlace): string =>
  `${student} ${sheet} ${question}`;

/**
 * The table with some marks changed, or given back to the marker; whatever else stands in it stays, letter for letter.
 *
 * @param text as `readChangedMarks` reads it
 * @param changes without `marks`: the line is taken out
 */
export function withChanges(
  text: string,
  changes: readonly (ChangedPlace & { readonly marks?: number; readonly reason: string })[],
): string {
  const left = new Map(changes.map((one) => [placeOf(one), one]));
  const rowOf = ({ student, sheet, question, marks, reason }: (typeof changes)[number]) =>
    marks === undefined ? null : { student, sheet, question, marks, reason };
  return rewriteRows(
    text,
    changedMarksHead,
    (cell) => {
      const [student, sheet, question] = columns.slice(0, 3).map((name) => cell(name).trim());
      const place = placeOf({ student, sheet, question: question.replace(',', '.') });
      const change = left.get(place);
      left.delete(place);
      return change && rowOf(change);
    },
    () => [...left.values()].flatMap((change) => rowOf(change) ?? []),
  );
}

/** The mark as the marker gave it, or a person who read it, without the change that lies over it. */
export function withoutChange(mark: QuestionMark): QuestionMark {
  const { changed: over, ...rest } = mark;
  if (!over) return mark;
  if (over.from === null) return { ...rest, state: 'to be read', marks: 0 };
  return { ...rest, state: over.from === mark.outOf ? 'agrees' : 'not yet', marks: over.from };
}

/** The records with the changed marks in them; each says what the marker had given. */
export function withChangedMarks<
  Marked extends Pick<MarkRecord, 'student' | 'sheet' | 'questions'>,
>(records: readonly Marked[], changes: readonly ChangedMark[]): Marked[] {
  const byPlace = new Map(changes.map((one) => [placeOf(one), one] as const));
  return records.map((record) => ({
    ...record,
    questions: record.questions.map((mark) => {
      const change = byPlace.get(placeOf({ ...record, question: mark.question }));
      return change ? changed(mark, change) : mark;
    }),
  }));
}

const changed = (mark: QuestionMark, { marks, reason }: ChangedMark): QuestionMark => ({
  ...mark,
  state: marks === mark.outOf ? 'agrees' : 'not yet',
  marks,
  changed: { from: mark.state === 'to be read' ? null : mark.marks, reason },
});

/** Such as `Changed by a person from 0 to 2: the way is sound.` */
export const changeSaid = (
  marks: number,
  { from, reason }: NonNullable<QuestionMark['changed']>,
) =>
  from === null
    ? `Given by a person: ${reason}`
    : `Changed by a person from ${from} to ${marks}: ${reason}`;
