import { byteOrderMark, refuseAll, tableRows } from './csv';
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

/** The records with the changed marks in them; each says what the marker had given. */
export function withChangedMarks(
  records: readonly MarkRecord[],
  changes: readonly ChangedMark[],
): MarkRecord[] {
  const at = (student: string, sheet: string, question: string) =>
    `${student} ${sheet} ${question}`;
  const byPlace = new Map(
    changes.map((one) => [at(one.student, one.sheet, one.question), one] as const),
  );
  return records.map((record) => ({
    ...record,
    questions: record.questions.map((mark) => {
      const change = byPlace.get(at(record.student, record.sheet, mark.question));
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
