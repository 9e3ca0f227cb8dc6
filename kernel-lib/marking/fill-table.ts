import type { ClassGrid } from './class-grid';
import { exportTable } from './export-table';
import type { Person } from './roster';

/** A cell of a table: what it says, and where that stands in the file. */
interface FilledCell {
  readonly text: string;
  /** First unit and the one behind the last, quotes not among them. */
  readonly start: number;
  readonly end: number;
  readonly isQuoted: boolean;
}

/** A table of another system as it lies in its file. */
export interface ForeignTable {
  readonly rows: readonly (readonly FilledCell[])[];
  readonly delimiter: string;
  /** The file, one character for each byte; UTF-16 as it is. */
  readonly units: string;
  readonly encoding: 'utf-8' | 'windows-1252' | 'utf-16le' | 'utf-16be';
}

const separators = [',', ';', '\t'];

/**
 * Read a table of another system so that it can be written again with some cells changed and every other byte as it was:
 * RFC 4180 with commas, semicolons or tabs; UTF-8, cp1252 or UTF-16, with or without a byte-order mark; rows of any
 * length, lines before the heading among them.
 */
export function readForeignTable(bytes: Uint8Array): ForeignTable {
  const encoding = encodingOf(bytes);
  const units = unitsOf(bytes, encoding);
  const start = encoding === 'utf-8' && units.startsWith('\xef\xbb\xbf') ? 3 : 0;
  const first = units[start] === '\ufeff' ? start + 1 : start;
  const found = separators.map((delimiter) => ({ delimiter, rows: scan(units, first, delimiter) }));
  const cells = ({ rows }: (typeof found)[number]) =>
    rows.slice(0, 50).reduce((sum, row) => sum + row.length, 0);
  const best = found.reduce((a, b) => (cells(b) > cells(a) ? b : a));
  const say = (text: string) => decoded(text, encoding);
  const rows = best.rows.map((row) => row.map((one) => ({ ...one, text: say(one.text).trim() })));
  return { rows, delimiter: best.delimiter, units, encoding };
}

function encodingOf(bytes: Uint8Array): ForeignTable['encoding'] {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return 'utf-8';
  } catch {
    return 'windows-1252';
  }
}

const is16 = (encoding: ForeignTable['encoding']) => encoding.startsWith('utf-16');

function unitsOf(bytes: Uint8Array, encoding: ForeignTable['encoding']): string {
  const codes: number[] = [];
  if (!is16(encoding)) for (const one of bytes) codes.push(one);
  else
    for (let i = 0; i + 1 < bytes.length; i += 2) {
      const [a, b] = [bytes[i], bytes[i + 1]];
      codes.push(encoding === 'utf-16le' ? a + 256 * b : 256 * a + b);
    }
  let text = '';
  for (let i = 0; i < codes.length; i += 8192)
    text += String.fromCharCode(...codes.slice(i, i + 8192));
  return text;
}

function bytesOf(units: string, encoding: ForeignTable['encoding']): Uint8Array<ArrayBuffer> {
  const wide = is16(encoding);
  const bytes = new Uint8Array(units.length * (wide ? 2 : 1));
  for (let i = 0; i < units.length; i++) {
    const code = units.charCodeAt(i);
    if (!wide) bytes[i] = code;
    else {
      const [low, high] = encoding === 'utf-16le' ? [2 * i, 2 * i + 1] : [2 * i + 1, 2 * i];
      bytes[low] = code & 255;
      bytes[high] = code >> 8;
    }
  }
  return bytes;
}

const decoded = (units: string, encoding: ForeignTable['encoding']) =>
  is16(encoding)
    ? units
    : new TextDecoder(encoding).decode(Uint8Array.from(units, (one) => one.charCodeAt(0)));

/** Cells with their places; a quote opens a cell only at its beginning. */
function scan(units: string, from: number, delimiter: string): FilledCell[][] {
  const rows: FilledCell[][] = [];
  let row: FilledCell[] = [];
  let at = from;
  while (at < units.length) {
    const isQuoted = units[at] === '"';
    const start = isQuoted ? at + 1 : at;
    let end = start;
    if (isQuoted) {
      while (end < units.length && (units[end] !== '"' || units[end + 1] === '"'))
        end += units[end] === '"' ? 2 : 1;
      at = Math.min(units.length, end + 1);
    }
    while (at < units.length && units[at] !== delimiter && !/[\r\n]/.test(units[at])) at += 1;
    if (!isQuoted) end = at;
    const text = units.slice(start, end).replaceAll(isQuoted ? '""' : '\0', '"');
    row.push({ text, start, end, isQuoted });
    if (at < units.length && units[at] === delimiter) {
      at += 1;
      // A line may end with an empty cell, and the file without a line end.
      if (at === units.length) row.push({ text: '', start: at, end: at, isQuoted: false });
      else if (!/[\r\n]/.test(units[at])) continue;
      else row.push({ text: '', start: at, end: at, isQuoted: false });
    }
    rows.push(row);
    row = [];
    at += units.startsWith('\r\n', at) ? 2 : 1;
  }
  return rows;
}

/** Which cells of a table are filled, and how. */
export interface Filling {
  /** The row with the headings, from 0. */
  readonly head: number;
  /** The column with the student numbers, from 0. */
  readonly student: number;
  /** Columns to be filled, from 0, with what: an `id` of `exportColumns`. */
  readonly columns: readonly { readonly at: number; readonly id: string }[];
  readonly decimal: '.' | ',';
  /** Marks in proportion to the points that a heading names in brackets, such as `Two slits [10]`. */
  readonly toPoints: boolean;
}

/** Points that a heading names in brackets at its end; undefined for none. */
export function pointsIn(heading: string): number | undefined {
  const [, said] = /[[(]\D*(\d+(?:[.,]\d+)?)[^\])]*[\])]\s*$/.exec(heading) ?? [];
  return said === undefined ? undefined : Number(said.replace(',', '.'));
}

/** The number in a cell, whatever stands around it and however many zeros before it; '' for none. */
const numberOf = (cell: string) => /(?:^|\D)0*([1-9]\d{2,9})(?!\d)/.exec(cell)?.[1] ?? '';

/** Students by the numbers that a table may show; those that could be two are not among them. */
function studentsByNumber({ students }: ClassGrid): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  const twice = new Set<string>();
  for (const { student } of students) {
    const number = student.replace(/^0+/, '');
    if (found.has(number)) twice.add(number);
    found.set(number, student);
  }
  for (const number of twice) found.delete(number);
  return found;
}

/** What a table looks as if it wants; a person looks at it before it is done. */
export function guessFilling({ rows, delimiter }: ForeignTable, grid: ClassGrid): Filling {
  const students = studentsByNumber(grid);
  const hits = new Map<number, number>();
  for (const row of rows)
    row.forEach(({ text }, at) => {
      if (students.has(numberOf(text))) hits.set(at, (hits.get(at) ?? 0) + 1);
    });
  const [student = 0] = [...hits].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0] ?? [];
  const first = rows.findIndex((row) => students.has(numberOf(row[student]?.text ?? '')));
  const filled = (row: number) => rows[row]?.filter(({ text }) => text !== '').length ?? 0;
  let head = 0;
  for (let row = 1; row < first; row++) if (filled(row) > filled(head)) head = row;
  const used = new Set<string>();
  const columns = (rows[head] ?? []).flatMap(({ text }, at) => {
    const id = at === student ? undefined : meant(text, grid);
    if (id === undefined || used.has(id)) return [];
    used.add(id);
    return [{ at, id }];
  });
  const cells = rows.slice(head + 1).flat();
  const hasComma = cells.some(({ text }) => /^\d+,\d+$/.test(text));
  const hasPoint = cells.some(({ text }) => /^\d+\.\d+$/.test(text));
  const decimal = hasComma || (delimiter === ';' && !hasPoint) ? ',' : '.';
  return { head, student, columns, decimal, toPoints: true };
}

/** The sheet or the total that a heading speaks of. */
function meant(heading: string, { sheets }: ClassGrid): string | undefined {
  const said = heading.toLowerCase();
  const words = (text: string) => text.toLowerCase().replace(/^\d+-/, '').replaceAll('-', ' ');
  const sheet = sheets.find(
    ({ sheet: name, title, from, to }) =>
      to > from &&
      (said.includes(name) || said.includes(title.toLowerCase()) || said.includes(words(name))),
  );
  if (sheet) return `sheet ${sheet.sheet}`;
  return /^(?:total|sum)\b/.test(said) ? 'total' : undefined;
}

/** A filled table, and what a person should know of it. */
export interface FilledTable {
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** Cells that were written. */
  readonly written: number;
  /** Students of the class who are not in the table. */
  readonly notThere: readonly string[];
  /** Numbers in the table that nobody of the class has. */
  readonly unknown: readonly string[];
}

/**
 * A table of another system with the marks of a class in some of its columns. Cells without a mark (nothing came back, a
 * reader is waited for) stay as they are, and so does every byte of all other cells.
 *
 * @param people by student number; may be empty
 */
export function fillTable(
  table: ForeignTable,
  grid: ClassGrid,
  people: ReadonlyMap<string, Person>,
  { head, student: at, columns, decimal, toPoints }: Filling,
): FilledTable {
  const { rows, units, delimiter, encoding } = table;
  const heads = columns.map((one) => ({ id: one.id, head: '' }));
  const marks = exportTable(grid, people, { columns: heads, as: 'marks' }).slice(1);
  const byStudent = new Map(grid.students.map(({ student }, i) => [student, marks[i]]));
  const students = studentsByNumber(grid);
  const scales = columns.map(({ at: column, id }) => {
    const points = pointsIn(rows[head]?.[column]?.text ?? '');
    const outOf = outOfColumn(grid, id);
    return toPoints && points !== undefined && outOf > 0 ? points / outOf : 1;
  });
  const parts: { readonly at: number; readonly until: number; readonly text: string }[] = [];
  const seen = new Set<string>();
  const unknown: string[] = [];
  for (const row of rows.slice(head + 1)) {
    const said = row[at]?.text ?? '';
    const student = students.get(numberOf(said));
    if (student === undefined) {
      if (/\d{4}/.test(said)) unknown.push(said);
      continue;
    }
    seen.add(student);
    const last = row.at(-1)!;
    const behind = last.end + (last.isQuoted ? 1 : 0);
    let width = row.length;
    const inOrder = columns
      .map((one, i) => ({ at: one.at, value: byStudent.get(student)![i], scale: scales[i] }))
      .sort((a, b) => a.at - b.at);
    for (const { at: column, value, scale } of inOrder) {
      if (value === '') continue;
      const number = typeof value === 'number' ? Math.round(100 * value * scale) / 100 : value;
      const text = asCell(String(number), typeof value === 'number' ? decimal : '.', delimiter);
      const cell = row[column];
      if (cell) {
        const bare = cell.isQuoted ? text.replace(/^"|"$/g, '') : text;
        parts.push({ at: cell.start, until: cell.end, text: encoded(bare, encoding) });
      } else {
        const gap = delimiter.repeat(column - width + 1);
        parts.push({ at: behind, until: behind, text: gap + encoded(text, encoding) });
        width = column + 1;
      }
    }
  }
  let filled = '';
  let done = 0;
  for (const { at: from, until, text } of parts.sort((a, b) => a.at - b.at)) {
    filled += units.slice(done, from) + text;
    done = until;
  }
  return {
    bytes: bytesOf(filled + units.slice(done), encoding),
    written: parts.length,
    notThere: grid.students.flatMap(({ student }) => (seen.has(student) ? [] : [student])),
    unknown,
  };
}

const asCell = (text: string, decimal: '.' | ',', delimiter: string) => {
  const said = decimal === ',' ? text.replace('.', ',') : text;
  return said.includes(delimiter) || /["\r\n]/.test(said)
    ? `"${said.replaceAll('"', '""')}"`
    : said;
};

/** A text in the units of a table; what its letters cannot say is asked about. */
function encoded(text: string, encoding: ForeignTable['encoding']): string {
  if (is16(encoding)) return text;
  if (encoding === 'utf-8') return unitsOf(new TextEncoder().encode(text), encoding);
  return text.replace(/[^\0-\x7f\xa0-\xff]/g, '?');
}

/** What a column of an export can earn; 0 where it is none of marks. */
function outOfColumn({ sheets, columns }: ClassGrid, id: string): number {
  const there = sheets.filter(({ from, to }) => to > from);
  if (id === 'total') return there.reduce((sum, { outOf }) => sum + outOf, 0);
  const [kind, sheet, question] = id.split(' ');
  if (kind === 'sheet') return there.find((one) => one.sheet === sheet)?.outOf ?? 0;
  const column = columns.find((one) => one.sheet === sheet && one.question === question);
  return column?.outOf ?? 0;
}
