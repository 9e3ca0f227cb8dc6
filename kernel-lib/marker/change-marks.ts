import {
  closeSync,
  constants,
  existsSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { plainly, writeAll, writeWhole } from '../kernel/files';
import { isAlive } from '../kernel/processes';
import {
  type ChangedMark,
  type ChangedPlace,
  placeOf,
  withChanges,
} from '../marking/changed-marks';
import { byteOrderMark, tableRows, unled, writeCsv } from '../marking/csv';
import type { ChangeInHistory } from '../marking/looked-through';

export const changedMarksFile = 'changed-marks.csv';
const historyFile = 'history.csv';
const columns = [
  ...['when', 'change', 'by', 'student', 'sheet', 'question'],
  ...['marks before', 'reason before', 'marks', 'reason', 'undoes'],
];

type Entry = ChangedMark | (ChangedPlace & { readonly marks: undefined; readonly reason: string });

/** What is to be changed in one go. */
interface ToChange {
  readonly entries: readonly Entry[];
  readonly by: string;
  readonly undoes?: number;
}

/**
 * Change the marks of a folder while nobody else does: what is decided is decided by what stands there now.
 *
 * The history is written first, then the table as a whole: after a power cut either the mark stands, or the history has a
 * line more than the table, and taking it back tells so.
 *
 * @param decide given what stands in the table and the history, says what to change; what it throws changes nothing
 * @returns the lines that the history has got
 */
export async function changeMarks(
  folder: string,
  read: (text: string) => ChangedMark[],
  decide: (changes: readonly ChangedMark[], history: readonly ChangeInHistory[]) => ToChange,
): Promise<ChangeInHistory[]> {
  const file = join(folder, changedMarksFile);
  return withLock(file, async () => {
    const text = existsSync(file) ? readFileSync(file, 'utf8') : '';
    const changes = read(text);
    const history = historyOf(folder);
    const { entries, by, undoes } = decide(changes, history);
    const byPlace = new Map(changes.map((one) => [placeOf(one), one]));
    const when = `${new Date().toISOString().slice(0, 19)}Z`;
    const change = Math.max(0, ...history.map((one) => one.change)) + 1;
    const lines = entries.map((entry): ChangeInHistory => {
      const old = byPlace.get(placeOf(entry));
      const { student, sheet, question, marks, reason } = entry;
      return {
        ...{ when, change, by, student, sheet, question },
        ...(old ? { before: { marks: old.marks, reason: old.reason } } : {}),
        ...(marks === undefined ? {} : { now: { marks, reason } }),
        ...(undoes === undefined ? {} : { undoes }),
      };
    });
    if (lines.length === 0) return [];
    const takeBack = appendHistory(folder, lines);
    try {
      await writeWhole(file, withChanges(text, entries));
    } catch (error) {
      takeBack();
      throw error;
    }
    return lines;
  });
}

/** Do something with a file while nobody else does who asks in this way. */
export async function withLock<Result>(path: string, act: () => Promise<Result>): Promise<Result> {
  const release = await lock(`${path}.lock`);
  try {
    return await act();
  } finally {
    release();
  }
}

/** The history of marks that people changed on the desk; what a power cut left half-written at its end is passed over. */
export function historyOf(folder: string): ChangeInHistory[] {
  const file = join(folder, historyFile);
  return tableRows(wholeLines(file), columns).flatMap(({ cell }): ChangeInHistory[] => {
    const change = Number(cell('change'));
    if (!Number.isInteger(change)) return [];
    const at = (marks: string, reason: string) =>
      cell(marks) === '' ? undefined : { marks: Number(cell(marks)), reason: unled(cell(reason)) };
    const [before, now] = [at('marks before', 'reason before'), at('marks', 'reason')];
    return [
      {
        ...{ when: cell('when'), change, by: cell('by') },
        ...{ student: cell('student'), sheet: cell('sheet'), question: cell('question') },
        ...(before ? { before } : {}),
        ...(now ? { now } : {}),
        ...(cell('undoes') === '' ? {} : { undoes: Number(cell('undoes')) }),
      },
    ];
  });
}

function appendHistory(folder: string, lines: readonly ChangeInHistory[]): () => void {
  const rows = lines.map((line) => [
    ...[line.when, line.change, line.by, line.student, line.sheet, line.question],
    ...[line.before?.marks ?? '', line.before?.reason ?? ''],
    ...[line.now?.marks ?? '', line.now?.reason ?? '', line.undoes ?? ''],
  ]);
  return appendRows(join(folder, historyFile), columns, rows);
}

/** The text of a table to which lines are only added, without what a power cut left half-written at its end. */
export function wholeLines(path: string): string {
  const text = existsSync(path) ? readFileSync(path, 'utf8') : '';
  return text.slice(0, text.lastIndexOf('\n') + 1);
}

/**
 * Add rows to a table at once, flushed to the disk. What a power cut left half-written at its end goes; on a full disk nothing
 * is added.
 *
 * @param head its first line, where it is not there yet
 * @returns takes the rows away again
 */
export function appendRows(
  path: string,
  head: readonly string[],
  rows: readonly (readonly (string | number)[])[],
): () => void {
  const file = openSync(path, constants.O_RDWR | constants.O_CREAT, 0o600);
  let whole = 0;
  try {
    const before = readFileSync(file);
    whole = before.lastIndexOf(10) + 1;
    ftruncateSync(file, whole);
    const text = writeCsv(whole === 0 ? [head, ...rows] : rows);
    writeAll(file, whole === 0 ? text : text.slice(byteOrderMark.length), whole);
    fsyncSync(file);
    return () => truncateSync(path, whole);
  } catch (error) {
    ftruncateSync(file, whole);
    const why = plainly(error as NodeJS.ErrnoException);
    throw new Error(`${path} cannot be written: ${why}. Nothing was changed.`);
  } finally {
    closeSync(file);
  }
}

const longestWait = 10_000;
const between = 20;

/** Let nobody else change what lies beside `path` until it is released. What an ended process has left does not count. */
async function lock(path: string): Promise<() => void> {
  for (const began = Date.now(); ; await new Promise((go) => setTimeout(go, between))) {
    try {
      writeFileSync(path, `${process.pid}\n`, { flag: 'wx', mode: 0o600 });
      return () => rmSync(path, { force: true });
    } catch (error) {
      const { code = '' } = error as NodeJS.ErrnoException;
      if (code !== 'EEXIST') {
        // On a full disk the file is made and its line is not.
        if (/^(?:ENOSPC|EDQUOT|EFBIG)$/.test(code)) rmSync(path, { force: true });
        const why = plainly(error as NodeJS.ErrnoException);
        throw new Error(`${path} cannot be written: ${why}. Nothing was changed.`);
      }
      if (Date.now() - began > longestWait)
        throw new Error(
          `${path} is there: another program is changing marks in this folder. If none is, remove that file.`,
        );
      const owner = Number(textOf(path));
      if (owner > 0 && !isAlive(owner)) rmSync(path, { force: true });
    }
  }
}

function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
}
