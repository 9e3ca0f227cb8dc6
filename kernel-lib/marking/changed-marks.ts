import { parse } from 'csv-parse/browser/esm/sync';
import type { QuestionMark } from './judge-return';
import { plainText } from './plain-text';
import type { MarkRecord } from './record';

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

export const changedMarksHead = 'student,sheet,question,marks,reason\n';

const columns = ['student', 'sheet', 'question', 'marks', 'reason'] as const;
type Row = Readonly<Record<(typeof columns)[number], string>>;

/** Longest reason, UTF-16 units: half a page. */
const longestReason = 2000;

/**
 * Read the table of marks that a person changed: CSV, comma or semicolon, a decimal comma is understood.
 *
 * @returns the changes for the sheets that are being marked
 * @throws RangeError that names the line, what stands there and what was expected
 */
export function readChangedMarks(text: string, known: Changeable): ChangedMark[] {
  const seen = new Map<string, number>();
  return rowsOf(text).flatMap(({ line, row }) => {
    if (columns.every((name) => row[name] === '')) return [];
    const refuse = (why: string): never => {
      throw new RangeError(`Line ${line} ${why} No mark was changed.`);
    };
    const { student, sheet, reason } = row;
    const question = row.question.replace(',', '.');
    if (!known.sheets.includes(sheet))
      refuse(`has "${sheet}" as sheet; there are ${known.sheets.join(', ')}.`);
    const questions = known.outOf.get(sheet);
    if (!questions) return [];
    const full = questions.get(question);
    if (full === undefined)
      return refuse(
        `has "${question}" as question of ${sheet}; it has ${[...questions.keys()].join(', ')}.`,
      );
    if (!known.students.has(student))
      refuse(`has "${student}" as student, who is neither in the roster nor among the returns.`);
    if (!known.handedIn(student, sheet))
      refuse(`changes a mark of ${student} for ${sheet}, but no return of it is here.`);
    const marks = Number(row.marks.replace(',', '.'));
    if (row.marks === '' || !(marks >= 0 && marks <= full))
      refuse(
        `has "${row.marks}" as marks for ${question}; a number from 0 to ${full} is expected.`,
      );
    if (reason === '') refuse('gives no reason; the student and your colleagues will ask for one.');
    const id = `${student} ${sheet} ${question}`;
    if (seen.has(id))
      refuse(
        `changes ${question} of ${student} again, after line ${seen.get(id)}; keep one of the two.`,
      );
    seen.set(id, line);
    return [{ student, sheet, question, marks, reason: plainText(reason, longestReason) }];
  });
}

function rowsOf(text: string): { line: number; row: Row }[] {
  const options = {
    delimiter: /^[^\n]*;/.test(text) ? ';' : ',',
    bom: true,
    trim: true,
    info: true,
    skip_empty_lines: true,
    relax_column_count: true,
  } as const;
  let found: { record: string[]; info: { lines: number } }[];
  try {
    found = parse(text, options) as unknown as typeof found;
  } catch (error) {
    throw new RangeError(`It is no CSV: ${(error as Error).message}. No mark was changed.`);
  }
  if (found.length === 0) return [];
  const head = found[0].record.map((cell) => cell.toLowerCase());
  const lacking = columns.filter((name) => !head.includes(name));
  if (lacking.length > 0)
    throw new RangeError(
      `Its first line lacks the columns ${lacking.join(', ')}; "${changedMarksHead.trim()}" was expected. No mark was changed.`,
    );
  return found.slice(1).map(({ record, info }) => ({
    // `lines` counts to the end of a row; a reason may go over several.
    line: info.lines - (record.join('').match(/\n/g)?.length ?? 0),
    row: Object.fromEntries(columns.map((name) => [name, record[head.indexOf(name)] ?? ''])) as Row,
  }));
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
