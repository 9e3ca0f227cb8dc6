import {
  chmodSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  utimesSync,
} from 'node:fs';
import { basename, dirname, extname, join, relative, resolve, sep } from 'node:path';
import { Refusal } from '../desk/refusal';
import { writeWhole } from '../kernel/files';
import { withLock } from '../marker/change-marks';
import { ownersFile } from '../marker/owners-in';
import { keptIn } from '../marker/settings';
import { tableRows } from '../marking/csv';
import { isDisputed } from '../marking/found-return';
import type { CameIn, WhatCameIn } from '../marking/looked-through';
import { type Owners, readOwners, withOwner } from '../marking/owners';
import { cameInFile, waitsToBeMarked } from '../marking/report/tables';
import { classTold } from './class-setup';

const textOf = (path: string) => (existsSync(path) ? readFileSync(path, 'utf8') : '');

/** Outcomes of files that are somebody's, and of those about which there is nothing to say. */
const returned = /^(?:to be marked|marked|did not run|earlier return|same again|another counts)$/;
/** A row for another of a group: the file has one of its own. */
const ofGroup = / \(also of \d+\)$/;
const settled = /^(?:left by a system|beside a notebook|left out)$/;

/** Every file that came into a folder of marks, as the marker found it last, whether it marked or only looked. */
export function whatCameIn(path: string): Omit<WhatCameIn, 'run'> {
  const folder = resolve(path);
  const kept = keptIn(folder);
  const roster = kept?.roster?.rows.map(({ student }) => student);
  const owners = ownersNow(folder);
  const tableOf = (name: string) =>
    tableRows(textOf(join(folder, name)), ['path', 'outcome', 'student']);
  const run = tableOf('returns.csv');
  const came = existsSync(join(folder, cameInFile)) ? tableOf(cameInFile) : undefined;
  // A file that is as it was when it was marked is marked.
  const idOf = ({ cell }: (typeof run)[number]) =>
    ['path', 'student', 'sheet', 'time'].map(cell).join('\n');
  const before = new Map(came ? run.map((row) => [idOf(row), row]) : []);
  const rows = (came ?? run).map((row) => {
    const old = row.cell('outcome') === waitsToBeMarked ? before.get(idOf(row)) : undefined;
    return old && returned.test(old.cell('outcome')) ? old : row;
  });
  const files = rows.map(({ cell }): CameIn => {
    const place = cell('path').replace(/^'(?=[=+\-@])/, '');
    const said = owners.get(place);
    const outcome = cell('outcome');
    const isReturn = returned.test(outcome);
    const isDoubtful = isReturn ? isDisputed(cell('remark')) : !settled.test(outcome);
    return {
      path: place,
      ...{
        waits: !said && isDoubtful && !ofGroup.test(place),
        isReturn: isReturn || outcome === 'unknown student',
      },
      isAlso: ofGroup.test(place),
      ...{ outcome, student: cell('student'), sheet: cell('sheet') },
      ...{ time: cell('time'), timeFrom: cell('time from'), remark: cell('remark') },
      files: Number(cell('files')) || 1,
      ...(said ? { said: { student: said.student ?? '', reason: said.reason } } : {}),
    };
  });
  const students = roster ?? [...new Set(files.flatMap(({ student }) => student || []))].sort();
  const setUp = classTold(folder);
  const returns = kept?.returns ?? '';
  const usualReturns = returns || join(dirname(folder), 'returns');
  return { folder, returns, usualReturns, files, students, setUp };
}

function ownersNow(folder: string): Owners {
  try {
    return readOwners(textOf(join(folder, ownersFile)), undefined);
  } catch (error) {
    throw new Refusal(409, `${join(folder, ownersFile)}: ${(error as Error).message}`);
  }
}

/** Keep what a person says of a file: the student, '' to leave it out; undefined takes that back. The next run goes by it. */
export async function sayOfFile(
  path: string,
  file: string,
  said: { readonly student: string; readonly reason: string } | undefined,
): Promise<void> {
  const { folder, files, students } = whatCameIn(path);
  if (!files.some((one) => one.path === file))
    throw new Refusal(404, `${file} is not among the files that came in.`);
  const reason = said?.reason.replace(/\s+/g, ' ').trim() ?? '';
  if (said && reason === '')
    throw new Refusal(400, 'Give a reason: whoever looks at it later will ask for one.');
  const student = said?.student.trim() ?? '';
  const hasRoster = keptIn(folder)?.roster !== undefined;
  if (student !== '' && (hasRoster ? !students.includes(student) : !/^\d{4,10}$/.test(student)))
    throw new Refusal(400, `${student} is no student ${hasRoster ? 'of the roster' : 'number'}.`);
  const table = join(folder, ownersFile);
  await withLock(table, async () => {
    const text = textOf(table);
    ownersNow(folder);
    const owner = said && { student: student === '' ? undefined : student, reason };
    await writeWhole(table, withOwner(text, file, owner));
    chmodSync(table, 0o600);
  });
}

/** Files that a folder is watched with at most. */
const mostWatched = 50_000;

/**
 * Changes whenever a file under a path is added, changed or gone.
 *
 * @throws Refusal where the path is not there
 */
export function stateOfReturns(path: string): string {
  const all: string[] = [];
  const look = (place: string) => {
    if (all.length >= mostWatched) return;
    const info = lstatSync(place, { throwIfNoEntry: false });
    if (info?.isDirectory()) for (const name of readdirSync(place).sort()) look(join(place, name));
    else if (info) all.push(`${place} ${info.size} ${info.mtimeMs}`);
  };
  if (path === '' || !existsSync(path))
    throw new Refusal(
      404,
      `${path || 'The folder with the returns'} is not there. What is marked stays; it is looked for again.`,
    );
  try {
    look(resolve(path));
  } catch (error) {
    throw new Refusal(404, `${path} cannot be read: ${(error as Error).message}.`);
  }
  return all.join('\n');
}

/** A name that every system takes, without a way out of its folder. */
const safeName = (name: string) =>
  name
    .replace(/[^\P{Cc}]|[\\:*?"<>|]/gu, '_')
    .replace(/^\.+|[. ]+$/g, '')
    .slice(0, 120);

/**
 * Keep a file that was dropped on the page among the returns. Nothing that lies there is written over.
 *
 * @param path within what was dropped, with `/` between folders
 * @param modified when the file was saved, ms since 1970
 * @returns what became of it, in a sentence
 */
export async function takeIn(
  marks: string,
  returns: string,
  path: string,
  bytes: Uint8Array,
  modified: number,
): Promise<string> {
  if (returns === '') throw new Refusal(400, 'Say in which folder the returns are to be kept.');
  const folder = resolve(returns);
  const way = relative(folder, resolve(marks));
  if (way === '' || (way !== '..' && !way.startsWith(`..${sep}`) && resolve(way) !== way))
    throw new Refusal(400, `The marks lie inside ${folder}; name a folder beside them.`);
  const parts = path.split('/').map(safeName).filter(Boolean);
  if (parts.length === 0) throw new Refusal(400, 'The file has no name that can be kept.');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const place = join(folder, ...parts.slice(0, -1));
  mkdirSync(place, { recursive: true, mode: 0o700 });
  if (!`${realpathSync(place)}${sep}`.startsWith(`${realpathSync(folder)}${sep}`))
    throw new Refusal(400, `${path} would lie outside ${folder}.`);
  const name = parts.at(-1)!;
  for (let n = 1; ; n++) {
    const end = extname(name);
    const file = join(place, n === 1 ? name : `${basename(name, end)} (${n})${end}`);
    if (existsSync(file)) {
      if (readFileSync(file).equals(bytes)) return `${path} was there already.`;
      continue;
    }
    mkdirSync(dirname(file), { recursive: true });
    await writeWhole(file, bytes);
    if (modified > 0) utimesSync(file, modified / 1000, modified / 1000);
    return n === 1
      ? `${path} was taken in.`
      : `${path} was taken in as ${basename(file)}: another file of that name was there.`;
  }
}
