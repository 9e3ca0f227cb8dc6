import { parse } from 'csv-parse/browser/esm/sync';
import { checkProfile, type Profile } from './profile';

/** Settings of `csvProfile`. */
export interface CsvProfileOptions {
  /** Heading or number (from 1) of the column of positions, default the first. */
  readonly x?: string | number;
  /** Of the signal, default the second. */
  readonly y?: string | number;
  /** Of the standard uncertainty; default the one headed u, "uncertainty" or "σ", if there is one. */
  readonly u?: string | number;
  /** Of what says that the detector was at its limit (1, yes, true, x); default the one headed "saturated" or "clipped". */
  readonly saturated?: string | number;
  /** Signal from which on the detector is at its limit; default none. */
  readonly full?: number;
  /** Unit of the positions, when the heading does not say it: m, cm, mm, µm, nm. */
  readonly unit?: string;
}

const metres: Readonly<Record<string, number>> = {
  m: 1,
  cm: 1e-2,
  mm: 1e-3,
  um: 1e-6,
  µm: 1e-6,
  μm: 1e-6,
  nm: 1e-9,
  1: 1,
};

/**
 * A profile from CSV text, as spectrometers, scanners and spreadsheets write it.
 *
 * Separator: semicolon, tab, comma or spaces, whichever the numbers have. Decimal comma: understood where the separator is
 * another. Text: UTF-8, UTF-16 as some spreadsheets save it, or Windows' own. The unit of the positions stands in the
 * heading: `x / mm`, `x (mm)`, `x [mm]`, `Position (mm) Run #1`, or in a second heading row; `1` for direction sines. What
 * an instrument writes above the table, lines that begin with # and rows without position and signal are left out. Points
 * are sorted by position; several at one position become one, their mean, with u = √(Σ u²)/n.
 *
 * @param text or bytes of the file
 * @param options which columns, the unit, and from where on the detector is saturated
 * @returns positions in m, signal and uncertainty as they stand, saturated where a column or `full` says so
 * @throws RangeError naming line and column of what is wrong
 * @example csvProfile('x / mm;signal\n-1,5;10\n0;20').x[0] // -0.0015
 */
export function csvProfile(text: string | Uint8Array, options: CsvProfileOptions = {}): Profile {
  const plain = typeof text === 'string' ? text : decode(text);
  const { headings, body } = readTable(plain.replace(/^\ufeff/, ''), options);
  const columnX = columnOf(options.x ?? 1, headings);
  const columnY = columnOf(options.y ?? 2, headings);
  const findColumn = (which: string | number | undefined, isIt: (heading: string) => boolean) =>
    which !== undefined
      ? columnOf(which, headings)
      : headings.findIndex((name, k) => k !== columnX && k !== columnY && isIt(name.trim()));
  const columnU = findColumn(options.u, isUncertainty);
  const columnFull = findColumn(options.saturated, isSaturation);
  const factor = unitOf(options.unit ?? unitIn(headings[columnX]), headings[columnX]);
  const { full = Infinity } = options;
  if (Number.isNaN(full)) throw new RangeError('full is NaN: give the signal of a full detector.');

  const points = body.flatMap(({ fields, line }) => {
    // Rows of another run beside this one, and rows of separators alone.
    if (!fields[columnX] && !fields[columnY]) return [];
    const wrong = (column: number, wanted: string) =>
      new RangeError(
        `Line ${line}, column ${column + 1} (${headings[column]}) is "${fields[column] ?? ''}": ${wanted} is expected. Mend or delete that line.`,
      );
    const value = (column: number) => {
      const number = numberOf(fields[column] ?? '');
      if (Number.isFinite(number)) return number;
      throw wrong(column, 'a number');
    };
    const isFull = (column: number) => {
      const flag = flags[(fields[column] ?? '').toLowerCase()];
      if (flag === undefined) throw wrong(column, '1 or 0, yes or no');
      return flag;
    };
    const y = value(columnY);
    return {
      x: value(columnX) * factor,
      y,
      u: columnU >= 0 ? value(columnU) : 0,
      saturated: y >= full || (columnFull >= 0 && isFull(columnFull)),
    };
  });
  if (points.length === 0) {
    throw new RangeError('The CSV has a heading but no numbers under it.');
  }
  points.sort((a, b) => a.x - b.x);
  const joined = joinedAtOnePlace(points);
  const list = (of: (point: (typeof points)[number]) => number) => Float64Array.from(joined, of);
  return checkProfile({
    x: list((point) => point.x),
    y: list((point) => point.y),
    ...(columnU >= 0 ? { u: list((point) => point.u) } : {}),
    ...(columnFull >= 0 || full < Infinity
      ? { saturated: Uint8Array.from(joined, (point) => (point.saturated ? 1 : 0)) }
      : {}),
  });
}

interface Point {
  readonly x: number;
  readonly y: number;
  readonly u: number;
  readonly saturated: boolean;
}

/** Neighbours at the same position as one point: their mean, full where one of them was. */
function joinedAtOnePlace(sorted: readonly Point[]): Point[] {
  const joined: Point[] = [];
  for (let from = 0; from < sorted.length; ) {
    let to = from + 1;
    while (to < sorted.length && sorted[to].x === sorted[from].x) to++;
    const group = sorted.slice(from, to);
    const sum = (of: (point: Point) => number) => group.reduce((all, one) => all + of(one), 0);
    joined.push({
      x: sorted[from].x,
      y: sum(({ y }) => y) / group.length,
      u: Math.sqrt(sum(({ u }) => u * u)) / group.length,
      saturated: group.some(({ saturated }) => saturated),
    });
    from = to;
  }
  return joined;
}

const flags: Readonly<Record<string, boolean>> = {
  ...{ 1: true, yes: true, true: true, x: true, y: true, ja: true },
  ...{ 0: false, no: false, false: false, '': false, n: false, nein: false },
};

const isSaturation = (heading: string) => /^(saturat|clipped|overflow|overload)/i.test(heading);

/** A capital U is a voltage; σ is no letter to \b. */
const isUncertainty = (heading: string) =>
  /^[uσ](?![\p{L}\p{N}_])/u.test(heading) || /^(sigma|uncertainty)\b/i.test(heading);

interface Row {
  readonly fields: readonly string[];
  readonly line: number;
}

/** UTF-16 by its mark or by every second byte being 0, UTF-8, or Windows' own for what is no UTF-8. */
function decode(bytes: Uint8Array): string {
  const head = bytes.subarray(0, 2000);
  const zeros = [0, 0];
  for (const [i, byte] of head.entries()) if (byte === 0) zeros[i % 2]++;
  const half = head.length / 4;
  if ((head[0] === 0xff && head[1] === 0xfe) || (zeros[1] > half && zeros[0] === 0)) {
    return new TextDecoder('utf-16le').decode(bytes);
  }
  if ((head[0] === 0xfe && head[1] === 0xff) || (zeros[0] > half && zeros[1] === 0)) {
    return new TextDecoder('utf-16be').decode(bytes);
  }
  if (zeros[0] + zeros[1] > 0) {
    throw new RangeError(
      'This file is not text, whatever its name says: CSV is expected. Export it as CSV (UTF-8).',
    );
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

const separators = [';', '\t', ',', ' '] as const;

type Separator = (typeof separators)[number];

/** Cells of a line, roughly: quotes are let be. */
function roughCells(line: string, separator: Separator): string[] {
  const plain = line.replaceAll('"', '').trim();
  return separator === ' ' ? plain.split(/\s+/) : plain.split(separator).map((c) => c.trim());
}

/** Headings and rows under them; what stands above is left out. */
function readTable(text: string, { x }: CsvProfileOptions) {
  const lines = text.split(/\r\n|\n|\r/);
  const first = typeof x === 'number' ? x - 1 : 0;
  const { start, separator } = firstNumbers(lines, first);
  const heads = start === undefined ? [] : headingLines(lines, start, separator);
  const from = heads[0] ?? start ?? 0;
  // Lines keep their numbers, so those above the table are emptied.
  const kept = lines.map((line, k) =>
    k < from || (k < (start ?? 0) && !heads.includes(k)) ? '' : line,
  );
  const isNote = heads.length === 1 && /^\s*#/.test(lines[heads[0]]);
  if (isNote) kept[heads[0]] = kept[heads[0]].replace(/^\s*#+\s*/, '');
  const spaced = separator === ' ' ? kept.map((line, k) => tabbed(line, heads.includes(k))) : kept;
  const rows = parsed(spaced.join('\n'), separator === ' ' ? '\t' : separator);
  const body = rows.slice(heads.length);
  const titles = rows.slice(0, heads.length).map(({ fields }) => fields);
  const headings =
    titles.length === 0
      ? (rows[0]?.fields ?? []).map((_, k) => `column ${k + 1}`)
      : titles[0].map((name, k) => (titles[1]?.[k] ? `${name} (${bareUnit(titles[1][k])})` : name));
  if (body.length === 0 || start === undefined) {
    throw new RangeError('The CSV has a heading but no numbers under it.');
  }
  return { headings, body };
}

/** Spaces become tabs; between the words of a heading only where they are two or more, if it has such. */
function tabbed(line: string, isHeading: boolean): string {
  const plain = line.trim();
  return plain.replace(isHeading && /\S\s{2,}\S/.test(plain) ? /\s{2,}/g : /\s+/g, '\t');
}

/** The first line of the table: at least two cells, a number where the position stands; and what separates them. */
function firstNumbers(lines: readonly string[], first: number) {
  const isText = (line: string) => line.trim() === '' || line.trimStart().startsWith('#');
  for (const [k, line] of lines.entries()) {
    if (isText(line)) continue;
    const found = separators.filter((separator) => {
      const cells = roughCells(line, separator);
      const at = Number.isNaN(numberOf(cells[first] ?? '')) ? -1 : first;
      // With spaces every cell is a number: else it is a sentence.
      const enough = separator !== ' ' || cells.every((cell) => !Number.isNaN(numberOf(cell)));
      return cells.length > 1 && at >= 0 && enough;
    });
    const pure = found.find((separator) =>
      roughCells(line, separator).every((cell) => cell === '' || !Number.isNaN(numberOf(cell))),
    );
    const separator = pure ?? found[0];
    if (separator) return { start: k, separator };
  }
  const heading = lines.find((line) => !isText(line));
  const separator = separators.slice(0, 3).find((sign) => heading?.includes(sign));
  if (!heading || !separator) {
    throw new RangeError(
      `The CSV has no line with two columns: separate position and signal by a comma, a semicolon or a tab${heading ? ` (the first line is "${heading.replace(/^\ufeff/, '').slice(0, 40)}")` : ''}.`,
    );
  }
  return { start: undefined, separator };
}

/** Which lines above the numbers name the columns: one, or one and a second with their units; or a remark that does. */
function headingLines(lines: readonly string[], start: number, separator: Separator): number[] {
  const cells = (k: number) => roughCells(lines[k], separator);
  const above: number[] = [];
  for (let k = start - 1; k >= 0 && above.length < 2; k--) {
    const line = lines[k].trim();
    if (line === '' || line.startsWith('#')) continue;
    if (cells(k).length < 2) break;
    above.unshift(k);
  }
  const last = above.at(-1);
  if (last === undefined) {
    const count = cells(start).length;
    const note = lines.findLastIndex((line, k) => {
      const names = roughCells(line.replace(/^\s*#+/, ''), separator);
      const counts = names.length === count && separator !== ' ';
      return (
        k < start && line.trimStart().startsWith('#') && counts && unitIn(names[0]) !== undefined
      );
    });
    return note < 0 ? [] : [note];
  }
  const units = cells(last);
  const areUnits =
    above.length === 2 &&
    units.some((cell) => Object.hasOwn(metres, bareUnit(cell)) && bareUnit(cell) !== '1') &&
    units.every((cell) => /^[[(]?\s*[^\s()[\]]{0,8}\s*[\])]?$/u.test(cell)) &&
    cells(above[0]).length === units.length;
  return areUnits ? above : [last];
}

const bareUnit = (cell: string) => cell.replace(/^[[(]\s*|\s*[\])]$/g, '').trim();

function parsed(text: string, delimiter: string): Row[] {
  try {
    const records = parse(text, {
      delimiter,
      comment: '#',
      comment_no_infix: true,
      trim: true,
      skip_empty_lines: true,
      relax_column_count: true,
      info: true,
    }) as unknown as { record: string[]; info: { lines: number } }[];
    return records.map(({ record, info }) => ({ fields: record, line: info.lines }));
  } catch (error) {
    throw new RangeError(`The CSV cannot be read: ${(error as Error).message}`);
  }
}

/** A number with decimal point or comma; NaN for anything else. */
function numberOf(field: string): number {
  const plain = field.trim().replace('−', '-').replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : Number.NaN;
}

function columnOf(which: string | number, headings: readonly string[]): number {
  const at =
    typeof which === 'number'
      ? which - 1
      : headings.findIndex((name) => name === which || bare(name) === which);
  if (at >= 0 && at < headings.length) return at;
  throw new RangeError(
    `There is no column ${JSON.stringify(which)}: the headings are ${headings.map((name) => `"${name}"`).join(', ')}.`,
  );
}

const bare = (heading: string) => heading.replace(/\s*(\/|\(|\[).*$/, '').trim();

/** The unit that ends a heading, or stands in brackets in it: `Position (mm) Run #1`. */
function unitIn(heading: string): string | undefined {
  const last = /(?:\/\s*|\(|\[)\s*([^\])\s]+)\s*[\])]?\s*$/.exec(heading)?.[1];
  if (last !== undefined && Object.hasOwn(metres, last)) return last;
  const inBrackets = [...heading.matchAll(/[([]\s*([^\])\s]+)\s*[\])]/g)].map(([, unit]) => unit);
  return inBrackets.find((unit) => Object.hasOwn(metres, unit)) ?? last;
}

function unitOf(unit: string | undefined, heading: string): number {
  if (unit !== undefined && Object.hasOwn(metres, unit)) return metres[unit];
  throw new RangeError(
    `The unit of the positions is ${unit === undefined ? 'not stated' : `"${unit}"`} in "${heading}": write it into the heading, such as "x / mm" (m, cm, mm, µm, nm, or 1 for direction sines), or give { unit: 'mm' }.`,
  );
}
