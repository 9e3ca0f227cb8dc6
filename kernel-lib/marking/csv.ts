import { parse } from 'csv-parse/browser/esm/sync';

/** Control characters become blanks. A cell that a spreadsheet would take for a formula is led in by an apostrophe. */
function cell(value: string | number, delimiter = ','): string {
  const plain = typeof value === 'string' ? value.replace(/[^\P{Cc}\n\t]/gu, ' ') : value;
  const text =
    typeof value === 'string' && /^[=+\-@\t\r]/.test(value) ? `'${plain}` : String(plain);
  return /[",;\n\r]/.test(text) || text.includes(delimiter)
    ? `"${text.replaceAll('"', '""')}"`
    : text;
}

/** By it spreadsheets know that a table is UTF-8, and read “µm” and “é” as they are. */
export const byteOrderMark = '\ufeff';

/** Rows as CSV: a byte-order mark, comma, one line end a row, quotes where needed. */
export function writeCsv(
  rows: readonly (readonly (string | number)[])[],
  delimiter: ',' | ';' = ',',
): string {
  return [...csvLines(rows, delimiter)].join('');
}

/** The same, a line at a time. */
export function* csvLines(
  rows: Iterable<readonly (string | number)[]>,
  delimiter: ',' | ';' = ',',
): Generator<string> {
  yield byteOrderMark;
  for (const row of rows) yield `${row.map((one) => cell(one, delimiter)).join(delimiter)}\n`;
}

/** A row of a table that a person filled in: its cells by the names of the columns, and where it stands. */
interface TableRow {
  /** Such as `Line 9`. */
  readonly where: string;
  /** Where cells go over several lines, a sentence with the number that a spreadsheet shows; else ''. */
  readonly aside: string;
  /** The cell of a column; '' where there is none. */
  readonly cell: (column: string) => string;
}

const delimiterOf = (text: string) =>
  /^[^\n]*\t/.test(text) ? '\t' : /^[^\n]*;/.test(text) ? ';' : ',';

/**
 * A table out of a file, as text: UTF-8, UTF-16 where its first bytes say so, else as Windows wrote it for long (cp1252).
 *
 * @throws RangeError where it is a spreadsheet's own file, with how to make a table of it
 */
export function tableText(bytes: Uint8Array): string {
  const [a, b, c] = bytes;
  if ((a === 0x50 && b === 0x4b) || (a === 0xd0 && b === 0xcf && c === 0x11))
    throw new RangeError(
      'It is a spreadsheet’s own file, not a table as text. In the spreadsheet choose “Save as”, and there CSV (UTF-8).',
    );
  const encoding =
    a === 0xff && b === 0xfe ? 'utf-16le' : a === 0xfe && b === 0xff ? 'utf-16be' : '';
  if (encoding !== '') return new TextDecoder(encoding).decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/**
 * All rows of a table as spreadsheets save it, blanks around cells taken off, with the lines at which they stand. Rows
 * without any text are passed over.
 *
 * @throws RangeError when it is no CSV
 */
export function tableGrid(text: string): { readonly line: number; readonly cells: string[] }[] {
  const options = {
    delimiter: delimiterOf(text),
    ...{ bom: true, trim: true, info: true, skip_empty_lines: true, relax_column_count: true },
  };
  try {
    const found = parse(text, options) as unknown as {
      record: string[];
      info: { lines: number };
    }[];
    return found.flatMap(({ record, info }) =>
      record.every((one) => one === '')
        ? []
        : [
            {
              line: info.lines - (record.join('').match(/\n/g)?.length ?? 0),
              cells: record,
            },
          ],
    );
  } catch (error) {
    throw new RangeError(`It is no CSV: ${(error as Error).message}.`);
  }
}

/** Mistakes told at once; of more the number is told. */
const mostTold = 25;

/**
 * Read a table as spreadsheets save it: comma, semicolon or tab, with or without a byte-order mark. Columns may stand
 * in any order, and there may be others. Rows without any text are passed over.
 *
 * @throws RangeError when it is no CSV or lacks a column; the sentence names it
 */
export function tableRows(text: string, columns: readonly string[]): TableRow[] {
  const options = {
    delimiter: delimiterOf(text),
    bom: true,
    info: true,
    skip_empty_lines: true,
    relax_column_count: true,
  } as const;
  let found: { record: string[]; info: { lines: number; empty_lines: number } }[];
  try {
    found = parse(text, options) as unknown as typeof found;
  } catch (error) {
    throw new RangeError(`It is no CSV: ${(error as Error).message}.`);
  }
  if (found.length === 0) return [];
  const head = found[0].record.map((cell) => cell.trim().toLowerCase());
  const lacking = columns.filter((name) => !head.includes(name));
  if (lacking.length > 0)
    throw new RangeError(
      `Its first line lacks the columns ${lacking.join(', ')}; "${columns.join(',')}" was expected there.`,
    );
  return found.slice(1).flatMap(({ record, info }, i) =>
    record.every((cell) => cell.trim() === '')
      ? []
      : [
          {
            ...placeSaid(i + 2 + info.empty_lines, info.lines, record),
            cell: (column) => record[head.indexOf(column)] ?? '',
          },
        ],
  );
}

/** @param end line at which the row ends; a cell may go over several */
function placeSaid(row: number, end: number, record: readonly string[]) {
  const line = end - (record.join('').match(/\n/g)?.length ?? 0);
  return {
    where: `Line ${line}`,
    aside: line === row ? '' : ` (Row ${row} in a spreadsheet.)`,
  };
}

/** The cells of a new row, by the names of its columns in small letters; undefined leaves the row as it stands, null takes it out. */
type Rewrite = (
  cell: (column: string) => string,
) => Readonly<Record<string, string | number>> | null | undefined;

/**
 * The text of a table with some of its rows changed, taken out or added. All others stay as they were typed, letter for
 * letter, with the columns and the signs between them that the table has.
 *
 * @param text as `tableRows` reads it
 * @param head what a table begins with where there is none yet
 * @param more rows to be added, asked for when all others were seen
 */
export function rewriteRows(
  text: string,
  head: string,
  rewrite: Rewrite,
  more: () => readonly Readonly<Record<string, string | number>>[],
): string {
  const whole = text.trim() === '' ? head : text;
  const delimiter = delimiterOf(whole);
  // A reader takes all lines to end as the first one does.
  const [end = '\n'] = /\r\n|\n|\r/.exec(whole) ?? [];
  const options = { delimiter, raw: true, relax_column_count: true, bom: true } as const;
  const rows = parse(whole, options) as unknown as { raw: string; record: string[] }[];
  const columns = rows[0].record.map((one) => one.trim().toLowerCase());
  const lineOf = (row: Readonly<Record<string, string | number>>, old: readonly string[] = []) =>
    `${columns.map((name, i) => cell(row[name] ?? unled(old[i] ?? ''), delimiter)).join(delimiter)}${end}`;
  const ended = (raw: string) => raw.replace(/[\r\n]+$/, '') + end;
  const kept = rows.slice(1).map(({ raw, record }) => {
    const row = rewrite((column) => record[columns.indexOf(column)] ?? '');
    if (row === null) return '';
    return row === undefined ? ended(raw) : lineOf(row, record);
  });
  const first = ended(rows[0].raw);
  const start = first.startsWith(byteOrderMark) ? '' : byteOrderMark;
  return [start, first, ...kept, ...more().map((row) => lineOf(row))].join('');
}

/** Without the apostrophe that was put before what looks like a formula; it is put there again. */
export const unled = (text: string) => text.replace(/^'(?=[=+\-@])/, '');

/** All that is wrong with a table in one sentence each, every one on a line of its own. */
export function refuseAll(problems: readonly string[], consequence: string): void {
  if (problems.length === 0) return;
  const told = problems.slice(0, mostTold);
  const more = problems.length - told.length;
  const rest = more > 0 ? [`… and ${more} more lines.`] : [];
  throw new RangeError([...told, ...rest, consequence].join('\n  '));
}
