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
 * Separator: semicolon, tab or comma, whichever the heading has. Decimal comma: understood where the separator is another.
 * The unit of the positions stands in the heading: `x / mm`, `x (mm)` or `x [mm]`; `1` for direction sines. Lines that
 * begin with # are left out. Points are sorted by position.
 *
 * @param text or bytes (UTF-8, with or without byte-order mark) of the file
 * @param options which columns, and the unit
 * @returns positions in m, signal and uncertainty as they stand
 * @throws RangeError naming line and column of what is wrong
 * @example csvProfile('x / mm;signal\n-1,5;10\n0;20').x[0] // -0.0015
 */
export function csvProfile(text: string | Uint8Array, options: CsvProfileOptions = {}): Profile {
  const rows = readRows(typeof text === 'string' ? text.replace(/^\ufeff/, '') : decode(text));
  const titled = rows[0].fields.some((field) => field !== '' && Number.isNaN(numberOf(field)));
  const headings = titled ? rows[0].fields : rows[0].fields.map((_, k) => `column ${k + 1}`);
  const body = titled ? rows.slice(1) : rows;
  if (body.length === 0) throw new RangeError('The CSV has a heading but no numbers under it.');
  const columnX = columnOf(options.x ?? 1, headings);
  const columnY = columnOf(options.y ?? 2, headings);
  const found = headings.findIndex(
    (name, k) => k !== columnX && k !== columnY && isUncertainty(name.trim()),
  );
  const columnU = options.u !== undefined ? columnOf(options.u, headings) : found;
  const factor = unitOf(options.unit ?? unitIn(headings[columnX]), headings[columnX]);

  const points = body.map(({ fields, line }) => {
    const value = (column: number) => {
      const number = numberOf(fields[column] ?? '');
      if (Number.isFinite(number)) return number;
      throw new RangeError(
        `Line ${line}, column ${column + 1} (${headings[column]}) is "${fields[column] ?? ''}": a number is expected. Mend or delete that line.`,
      );
    };
    return { x: value(columnX) * factor, y: value(columnY), u: columnU >= 0 ? value(columnU) : 0 };
  });
  points.sort((a, b) => a.x - b.x);
  const u = columnU >= 0 ? Float64Array.from(points, (point) => point.u) : undefined;
  return checkProfile({
    x: Float64Array.from(points, (point) => point.x),
    y: Float64Array.from(points, (point) => point.y),
    ...(u ? { u } : {}),
  });
}

/** A capital U is a voltage; σ is no letter to \b. */
const isUncertainty = (heading: string) =>
  /^[uσ](?![\p{L}\p{N}_])/u.test(heading) || /^(sigma|uncertainty)\b/i.test(heading);

interface Row {
  readonly fields: readonly string[];
  readonly line: number;
}

function decode(bytes: Uint8Array): string {
  if (bytes.subarray(0, 2000).includes(0)) {
    throw new RangeError(
      'This file is not text, whatever its name says: CSV is expected. Export it as CSV (UTF-8).',
    );
  }
  return new TextDecoder().decode(bytes);
}

function readRows(text: string): Row[] {
  const heading = text.split(/\r?\n/).find((line) => line.trim() !== '' && !line.startsWith('#'));
  const delimiter = [';', '\t', ','].find((sign) => heading?.includes(sign));
  if (!heading || !delimiter) {
    throw new RangeError(
      `The CSV has no line with two columns: separate position and signal by a comma, a semicolon or a tab${heading ? ` (the first line is "${heading.slice(0, 40)}")` : ''}.`,
    );
  }
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

function unitIn(heading: string): string | undefined {
  return /(?:\/\s*|\(|\[)\s*([^\])\s]+)\s*[\])]?\s*$/.exec(heading)?.[1];
}

function unitOf(unit: string | undefined, heading: string): number {
  if (unit !== undefined && Object.hasOwn(metres, unit)) return metres[unit];
  throw new RangeError(
    `The unit of the positions is ${unit === undefined ? 'not stated' : `"${unit}"`} in "${heading}": write it into the heading, such as "x / mm" (m, cm, mm, µm, nm, or 1 for direction sines), or give { unit: 'mm' }.`,
  );
}
