import { parse } from 'csv-parse/browser/esm/sync';
import { clockSaid, readMoment } from './moment';
import type { ReturnedFile } from './unpack';

/** Where a time of handing in is from, the most trusted first. */
export type TimeSource = 'table' | 'name' | 'archive' | 'file';

/** When a return came, as far as that can be told. */
export interface HandInTime {
  /** ms since 1970. */
  readonly time?: number;
  readonly from?: TimeSource;
  /** Why that time may not be when it was handed in. */
  readonly doubt?: string;
}

/** What is known of times beside the files themselves. */
export interface TimeRules {
  /** What the course system says, if anything. */
  readonly table: readonly HandIn[];
  /** How the course system writes times into names, if it does. */
  readonly inName?: TimeInName;
  /** The instructor's zone. */
  readonly zone: string;
  /** Now, ms since 1970. */
  readonly now: number;
  /** Path of the archive that is the whole class, where returns came as one file. */
  readonly whole?: string;
}

/** A return of which it is asked when it came. */
export interface Arrived extends Pick<ReturnedFile, 'path' | 'time' | 'archive'> {
  readonly student: string;
  readonly sheet: string;
}

/** Clocks of computers differ by this much at most, ms. */
const clockError = 10 * 60_000;
/** Files that were all written within this time were fetched, not handed in. ms */
const oneFetch = 10 * 60_000;
/** Two tellings that differ by more than this tell of different moments. ms */
const sameMoment = 3_600_000;
/** From this many returns on, times can look like those of a download. */
const fewest = 3;

/**
 * When each return came, by order of trust: the table, the time in the file's name, the stamp that the class's archive
 * keeps, the file's own. What a student packed has stamps that the student's computer made: such an archive counts as
 * a whole, by its own time. An archive is the class's when returns of several students are in it.
 */
export function handInTimes(all: readonly Arrived[], rules: TimeRules): HandInTime[] {
  const isOfClass = classArchives(all, rules.whole);
  const stamps = all.map((one) => stampOf(one, rules, isOfClass));
  const byTable = fromTable(all, stamps, rules.table);
  const times = all.map((_, i): HandInTime => {
    const time = byTable[i];
    if (time !== undefined) return { time, from: 'table' };
    return stamps[i];
  });
  const fetched = fetchedAt(times);
  return times.map((one): HandInTime => {
    const doubt = doubtOf(one, fetched, rules);
    return doubt === undefined ? one : { ...one, doubt };
  });
}

function studentsByArchive(all: readonly Arrived[]): Map<string, Set<string>> {
  const students = new Map<string, Set<string>>();
  for (const { student, archive } of all)
    if (archive) students.set(archive.path, (students.get(archive.path) ?? new Set()).add(student));
  return students;
}

/** Archives that hold returns of several students: two where it is all that came, three where it lies among others. */
export function classArchives(
  all: readonly Arrived[],
  whole: string | undefined,
): (path: string) => boolean {
  const students = studentsByArchive(all);
  return (path) => (students.get(path)?.size ?? 0) >= (path === whole ? 2 : 3);
}

/**
 * Tells returns out of an archive that one student packed and in which returns of others are, too: whoever packed it
 * may have put them there without those others' knowledge.
 */
export function packedTogether(
  all: readonly Arrived[],
  whole: string | undefined,
): (one: Pick<Arrived, 'archive'>) => boolean {
  const isOfClass = classArchives(all, whole);
  const students = studentsByArchive(all);
  return ({ archive }) =>
    archive !== undefined &&
    !isOfClass(archive.path) &&
    (students.get(archive.path)?.size ?? 0) > 1;
}

function stampOf(
  { path, time, archive }: Arrived,
  { inName, zone }: TimeRules,
  isOfClass: (path: string) => boolean,
): HandInTime {
  const byClass = archive && isOfClass(archive.path);
  const named = byClass ? `${archive.path}/${archive.entry}` : (archive?.path ?? path);
  const inNames = inName?.(named, zone);
  const stamp = byClass ? archive.time : undefined;
  if (inNames !== undefined) {
    const differs = stamp !== undefined && Math.abs(stamp - inNames) > sameMoment;
    const doubt = differs
      ? `The name says ${clockSaid(inNames, zone)}, the archive ${clockSaid(stamp, zone)}.`
      : undefined;
    return { time: inNames, from: 'name', ...(doubt ? { doubt } : {}) };
  }
  if (stamp !== undefined) {
    const isLater = time !== undefined && stamp > time + clockError;
    const doubt = isLater
      ? `The archive says ${clockSaid(stamp, zone)}, but was itself saved before that, ${clockSaid(time, zone)}.`
      : undefined;
    return { time: stamp, from: 'archive', ...(doubt ? { doubt } : {}) };
  }
  return time === undefined ? {} : { time, from: 'file' };
}

/** The table's times for each return: of several the last to the last return, and so on backwards. */
function fromTable(
  all: readonly Arrived[],
  stamps: readonly HandInTime[],
  table: readonly HandIn[],
): (number | undefined)[] {
  const place = ({ student, sheet }: { student: string; sheet: string }) => `${sheet} ${student}`;
  const told = new Map<string, number[]>();
  for (const one of table) told.set(place(one), [...(told.get(place(one)) ?? []), one.time]);
  for (const times of told.values()) times.sort((a, b) => b - a);
  const found: (number | undefined)[] = all.map(() => undefined);
  const latestFirst = all
    .map((_, i) => i)
    .sort((a, b) => (stamps[b].time ?? 0) - (stamps[a].time ?? 0));
  const given = new Map<string, number>();
  for (const i of latestFirst) {
    const times = told.get(place(all[i]));
    if (!times) continue;
    const n = given.get(place(all[i])) ?? 0;
    given.set(place(all[i]), n + 1);
    found[i] = times[Math.min(n, times.length - 1)];
  }
  return found;
}

/** The beginning of the ten minutes in which most files were saved: then they were fetched together. */
function fetchedAt(times: readonly HandInTime[]): number | undefined {
  const stamps = times
    .flatMap(({ time, from }) =>
      time !== undefined && /^(?:file|archive)$/.test(from ?? '') ? [time] : [],
    )
    .sort((a, b) => a - b);
  if (stamps.length < fewest) return undefined;
  let best = { count: 0, at: 0 };
  let first = 0;
  stamps.forEach((time, i) => {
    while (time - stamps[first] > oneFetch) first += 1;
    if (i - first + 1 > best.count) best = { count: i - first + 1, at: stamps[first] };
  });
  return 2 * best.count > stamps.length ? best.at : undefined;
}

function doubtOf(
  { time, from, doubt }: HandInTime,
  fetched: number | undefined,
  { now, zone }: TimeRules,
): string | undefined {
  if (time === undefined || from === undefined) return undefined;
  if (time > now + clockError) return `It lies in the future: ${clockSaid(time, zone)}.`;
  if (doubt !== undefined) return doubt;
  const isStamp = from === 'file' || from === 'archive';
  if (isStamp && fetched !== undefined && time >= fetched && time <= fetched + oneFetch)
    return 'Most files were saved within ten minutes of each other, as when they are fetched together.';
  return undefined;
}

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

/** Letters of a pattern: year, month, day, hour, minute, second. */
const letters = ['YYYY', 'MM', 'DD', 'hh', 'mm', 'ss'] as const;
type Letter = (typeof letters)[number];

/** Finds the time in a file's name. */
type TimeInName = (name: string, zone: string) => number | undefined;

/**
 * A pattern for the times that a course system writes into the names of files, such as `YYYY-MM-DD_hh-mm-ss`: these
 * letters stand for digits, everything else for itself. Without hours the day's first moment is taken.
 *
 * @throws RangeError when year, month or day is missing, or something stands twice
 * @example timeInName('DD.MM.YYYY hhmm')('204117 04.12.2026 1830 sheet.ipynb', 'UTC') // 1796409000000
 */
export function timeInName(pattern: string): TimeInName {
  const found: Letter[] = [];
  const source = pattern.replace(/YYYY|MM|DD|hh|mm|ss|[\s\S]/g, (part) => {
    const letter = letters.find((one) => one === part);
    if (!letter) return part.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&');
    found.push(letter);
    return letter === 'YYYY' ? '(\\d{4})' : '(\\d{2})';
  });
  const lacks = letters.slice(0, 3).filter((letter) => !found.includes(letter));
  const hasMinutes = found.includes('mm') === found.includes('hh');
  if (lacks.length > 0 || new Set(found).size !== found.length || !hasMinutes)
    throw new RangeError(
      `"${pattern}" is no pattern for times: YYYY, MM and DD, each once, and hh with mm where hours are told, were expected, such as YYYY-MM-DD_hh-mm.`,
    );
  const form = new RegExp(`(?<!\\d)${source}(?!\\d)`, 'g');
  return (name, zone) => {
    // The latest of several: nobody gains by an earlier time in the name of their own file.
    const times = [...name.matchAll(form)].flatMap((match) => {
      const at = (letter: Letter, otherwise: string) =>
        found.includes(letter) ? match[1 + found.indexOf(letter)] : otherwise;
      const day = `${at('YYYY', '')}-${at('MM', '')}-${at('DD', '')}`;
      const clock = `${at('hh', '00')}:${at('mm', '00')}:${at('ss', '00')}`;
      return readMoment(`${day}T${clock}`, zone)?.time ?? [];
    });
    return times.length === 0 ? undefined : Math.max(...times);
  };
}
