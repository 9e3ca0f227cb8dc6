import { parse } from 'csv-parse/browser/esm/sync';
import { readMoment } from './moment';

/** When a student handed in a sheet, as the course system told. */
export interface HandIn {
  readonly student: string;
  readonly sheet: string;
  /** ms since 1970. */
  readonly time: number;
}

const columns = ['student', 'sheet', 'time'] as const;

/**
 * Read a table of times: CSV with the columns student, sheet, time; comma or semicolon, other columns are passed over.
 * A student may stand in it several times with a sheet, once for each time of handing in.
 *
 * @param sheets all names of sheets that there are
 * @throws RangeError that names every line that cannot be used, what stands there and what was expected
 */
export function readHandIns(text: string, zone: string, sheets: readonly string[]): HandIn[] {
  const rows: { record: string[]; info: { lines: number } }[] = parse(text, {
    delimiter: /^[^\n]*;/.test(text) ? ';' : ',',
    ...{ bom: true, trim: true, info: true, skip_empty_lines: true, relax_column_count: true },
  }) as never;
  const head = rows[0]?.record.map((cell) => cell.toLowerCase()) ?? [];
  const lacking = columns.filter((name) => !head.includes(name));
  if (lacking.length > 0)
    throw new RangeError(
      `Its first line lacks the columns ${lacking.join(', ')}; student,sheet,time was expected.`,
    );
  const wrong: string[] = [];
  const found = rows.slice(1).flatMap(({ record, info }): HandIn[] => {
    const [student, sheet, said] = columns.map((name) => record[head.indexOf(name)] ?? '');
    const moment = readMoment(said, zone);
    const refuse = (why: string) => {
      wrong.push(`Line ${info.lines} ${why}`);
      return [];
    };
    if (!/^\d{4,10}$/.test(student))
      return refuse(`has "${student}" as student; 4 to 10 digits were expected.`);
    if (!sheets.includes(sheet))
      return refuse(`has "${sheet}" as sheet; there are ${sheets.join(', ')}.`);
    if (!moment || moment.isDay)
      return refuse(
        `has "${said}" as time; a day and time such as 2026-12-04T18:30+01:00 was expected.`,
      );
    return [{ student, sheet, time: moment.time }];
  });
  if (wrong.length > 0) throw new RangeError(wrong.join('\n'));
  return found;
}
