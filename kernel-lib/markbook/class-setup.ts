import { chmodSync, existsSync, mkdirSync, readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { Refusal } from '../desk/refusal';
import { writeWhole } from '../kernel/files';
import { findKey, findSheet, sheetNames } from '../kernel/sheets';
import { withLock } from '../marker/change-marks';
import { keptIn } from '../marker/settings';
import { extraDaysFile } from '../marker/settle';
import { tableText } from '../marking/csv';
import { type ExtraLine, readExtraDays, withExtraDays } from '../marking/late';
import type { ClassTold, ClassToSet, RosterTaken } from '../marking/looked-through';
import { type RosterColumns, readRoster, rosterHead } from '../marking/roster';

const textOf = (path: string) => (existsSync(path) ? readFileSync(path, 'utf8') : '');

/** What a class goes by, out of its folder of marks; usual settings where nothing was marked yet. */
export function classTold(path: string): ClassTold {
  const folder = resolve(path);
  const kept = keptIn(folder);
  const table = join(folder, extraDaysFile);
  const chosen = kept?.sheets;
  const { extra, problem } = extraNow(table);
  return {
    ...(kept?.roster ? { roster: rosterTold(kept.roster, kept.rosterColumns ?? {}) } : {}),
    sheets: sheetNames().flatMap((sheet) =>
      findKey(sheet)
        ? [
            {
              sheet,
              title: findSheet(sheet)?.title ?? sheet,
              isChosen: chosen?.includes(sheet) ?? true,
            },
          ]
        : [],
    ),
    deadline: kept?.deadline ?? '',
    zone: kept?.zone ?? new Intl.DateTimeFormat().resolvedOptions().timeZone,
    late: kept?.late ?? 0,
    count: kept?.count ?? 'latest',
    again: (kept?.again ?? []).map((word) => {
      const [until, cap] = word.split('=');
      return { until, cap: Number.parseFloat(cap) };
    }),
    groups: kept?.groups ?? false,
    believeTimes: kept?.believeTimes ?? false,
    solutions: kept?.solutions ?? 'none',
    extra,
    ...(problem === undefined ? {} : { problem }),
  };
}

function extraNow(table: string): { extra: ExtraLine[]; problem?: string } {
  try {
    return { extra: readExtraDays(textOf(table), { sheets: sheetNames() }) };
  } catch (error) {
    return { extra: [], problem: `${table}: ${(error as Error).message}` };
  }
}

function rosterTold(
  { file, rows }: { readonly file: string; readonly rows: readonly unknown[] },
  said: RosterColumns,
): NonNullable<ClassTold['roster']> {
  const told = { file, students: rows.length, said };
  if (!existsSync(file))
    return { ...told, head: [], known: {}, problem: `${file} is no longer there.` };
  try {
    return { ...told, ...rosterHead(tableText(readFileSync(file)), said) };
  } catch (error) {
    return { ...told, head: [], known: {}, problem: `${file}: ${(error as Error).message}` };
  }
}

/** The class list that was dropped, where it lies in a folder of marks. */
export const droppedRoster = (path: string): string => join(resolve(path), 'roster.csv');

/**
 * Keep a class list that was dropped, names and all, in the folder of marks. One that cannot be used is not kept: what was
 * there stays.
 */
export async function takeRoster(
  path: string,
  bytes: Uint8Array,
  columns: RosterColumns,
): Promise<RosterTaken> {
  let head: RosterTaken = { head: [], known: {} };
  try {
    const text = tableText(bytes);
    head = rosterHead(text, columns);
    readRoster(text, columns);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return { ...head, problem: error.message };
  }
  const file = droppedRoster(path);
  mkdirSync(dirname(file), { recursive: true, mode: 0o700 });
  await writeWhole(file, bytes);
  chmodSync(file, 0o600);
  return head;
}

/** Grant days to a person or for a sheet; `days` undefined takes the line away. The next run goes by it. */
export async function grantDays(
  path: string,
  line: Omit<ExtraLine, 'days'> & { readonly days: number | undefined },
): Promise<void> {
  const folder = resolve(path);
  const reason = line.reason.replace(/\s+/g, ' ').trim();
  if (line.days !== undefined && reason === '')
    throw new Refusal(400, 'Give a reason: whoever looks at it later will ask for one.');
  const kept = keptIn(folder)?.roster?.rows.map(({ student }) => student);
  const table = join(folder, extraDaysFile);
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  await withLock(table, async () => {
    const text = withExtraDays(textOf(table), { ...line, reason });
    try {
      readExtraDays(text, {
        ...(kept ? { students: new Set(kept) } : {}),
        sheets: sheetNames(),
      });
    } catch (error) {
      throw new Refusal(400, (error as Error).message.replace(/^Line \d+/, 'The line'));
    }
    await writeWhole(table, text);
    chmodSync(table, 0o600);
  });
}

/** What was set, as words of `multislit mark`. */
export function wordsFor(what: ClassToSet): string[] {
  const { roster, rosterColumns, sheets, deadline, zone, late, count, again } = what;
  const { groups, believeTimes, solutions } = what;
  const orNone = (list: readonly string[], none: string) => (list.length > 0 ? list : [none]);
  const words = (name: string, value: string | undefined) =>
    value === undefined || value === '' ? [] : [name, value];
  return [
    ...words('--roster', roster?.trim()),
    ...(rosterColumns
      ? [
          '--roster-columns',
          ...orNone(
            Object.entries(rosterColumns).flatMap(([kind, name]) =>
              name === '' ? [] : [`${kind}=${name}`],
            ),
            'none',
          ),
        ]
      : []),
    ...(sheets ? ['--sheet', ...orNone(sheets, 'all')] : []),
    ...words('--deadline', deadline === '' ? 'none' : deadline?.trim()),
    ...words('--zone', zone?.trim()),
    ...words('--late', late === undefined ? undefined : String(late)),
    ...words('--count', count),
    ...(again
      ? [
          '--again',
          ...orNone(
            again.map(({ until, cap }) => `${until}=${cap}`),
            'none',
          ),
        ]
      : []),
    ...(groups === undefined ? [] : [groups ? '--groups' : '--no-groups']),
    ...(believeTimes === undefined
      ? []
      : [believeTimes ? '--believe-times' : '--no-believe-times']),
    ...words('--solutions', solutions),
  ];
}

/**
 * Where the returns of a folder of marks lie: what was typed, else where they lay before, else a folder beside the marks,
 * which is made.
 */
export function returnsFor(path: string, typed: string): string {
  const folder = resolve(path);
  if (typed.trim() !== '') return resolve(typed.trim());
  const before = keptIn(folder)?.returns;
  if (before !== undefined) return before;
  const beside = join(dirname(folder), 'returns');
  if (existsSync(dirname(beside))) mkdirSync(beside, { recursive: true, mode: 0o700 });
  return beside;
}
