import { parse } from 'csv-parse/browser/esm/sync';
import type { AnyKey } from '../questions/sheet';
import { writeCsv } from './csv';

/** An answer for a person to read. `code` stands for the student. */
export interface WrittenAnswer {
  readonly code: string;
  readonly question: string;
  readonly answer: string;
  /** Another code under which the same answer may have been read before. */
  readonly formerly?: string;
}

/** A row of the table as it stands in the file. */
export interface WrittenRow extends WrittenAnswer {
  /** As entered; '' where nothing was. */
  readonly points: string;
  readonly remark: string;
}

const head = ['code', 'question', 'out of', 'points', 'answer', 'mark scheme', 'remark'];

/**
 * Read a table back with the points that a person entered.
 *
 * @param outOf what each question can earn
 * @throws RangeError that names the row where points make no sense; nothing is guessed
 */
export function readWrittenTable(text: string, outOf: ReadonlyMap<string, number>): WrittenRow[] {
  const delimiter = /^[^\n]*;/.test(text) ? ';' : ',';
  const rows: Record<string, string>[] = parse(text, {
    delimiter,
    bom: true,
    columns: true,
    skip_empty_lines: true,
    relax_column_count: true,
  });
  return rows.map((row, i) => {
    const { code = '', question = '', answer = '', remark = '' } = row;
    const points = (row.points ?? '').trim();
    const full = outOf.get(question);
    const value = Number(points.replace(',', '.'));
    if (points !== '' && full !== undefined && !(value >= 0 && value <= full))
      throw new RangeError(
        `Row ${i + 2} (code ${code}, question ${question}) has "${points}" as points; a number from 0 to ${full} was expected. Nothing was written to the file.`,
      );
    return { code, question, answer, points: points.replace(',', '.'), remark };
  });
}

const changed = 'The answer has changed since the points were entered.';

/** Lay new answers beside the points entered before. What a person entered always stays. */
export function mergeWritten(
  answers: readonly WrittenAnswer[],
  before: readonly WrittenRow[],
): WrittenRow[] {
  const id = ({ code, question }: WrittenAnswer) => `${code} ${question}`;
  const known = new Map(before.map((row) => [id(row), row]));
  const rows = answers.map((answer): WrittenRow => {
    const { code, question, answer: text, formerly = code } = answer;
    const own = known.get(id(answer));
    const other = known.get(`${formerly} ${question}`);
    const isSame = (row: WrittenRow | undefined) =>
      row !== undefined && row.points !== '' && plain(row.answer) === plain(text);
    const old = !isSame(own) && isSame(other) ? other : own;
    if (old) known.delete(id(old));
    known.delete(id(answer));
    if (!old) return { code, question, answer: text, points: '', remark: '' };
    const isChanged = old.points !== '' && plain(old.answer) !== plain(answer.answer);
    const remark =
      isChanged && !old.remark.includes(changed) ? `${old.remark} ${changed}`.trim() : old.remark;
    return { code, question, answer: text, points: old.points, remark };
  });
  const gone = [...known.values()].filter(({ points }) => points !== '');
  const order = (a: WrittenRow, b: WrittenRow) =>
    a.question === b.question ? (a.code < b.code ? -1 : 1) : a.question < b.question ? -1 : 1;
  return [...rows, ...gone].sort(order);
}

/** Spreadsheets change line ends; the apostrophe before a formula is ours. */
const plain = (text: string) => text.replace(/^'/, '').replace(/\s+/g, ' ').trim();

/** The table as CSV, the mark scheme beside each answer. */
export function writeWrittenTable(rows: readonly WrittenRow[], key: AnyKey): string {
  const scheme = (question: string) =>
    (key.schemes[question] ?? []).map(({ marks, point }) => `${marks}: ${point}`).join('\n');
  const full = new Map(key.sheet.questions.map(({ id, marks }) => [id, marks]));
  return writeCsv([
    head,
    ...rows.map(({ code, question, points, answer, remark }) => [
      code,
      question,
      full.get(question) ?? '',
      points === '' ? '' : Number(points),
      answer.replace(/^'(?=[=+\-@])/, ''),
      scheme(question),
      remark,
    ]),
  ]);
}
