import { converterProcess } from '../confined/converter-process';
import { closedSheet, studentSlot } from '../confined/job';
import type { LineProcess } from '../confined/line-process';
import { type RunLimits, runReturn } from '../confined/run-return';
import type { Confinement } from '../confined/walls';
import { cellsToRun, notebookFrom, writtenAnswers } from '../marking/found-return';
import { judgeReturn, type QuestionMark, samplings, withFaults } from '../marking/judge-return';
import { type MarkRecord, withoutOutputs } from '../marking/record';
import { type PlainAnswer, readAnswer } from '../questions/answer';
import { givensFor } from '../questions/draw';
import { numberInCode } from './gather-returns';
import type { KeptFiles } from './kept-files';
import type { MarkOptions } from './settings';
import { digestOf, type ToMark } from './sheets-to-mark';
import { type Records, writeExecuted } from './store';

export interface MarkedAll {
  readonly records: readonly MarkRecord[];
  /** How many had to be run; the others stood from before. */
  readonly ran: number;
  /** Returns that this machine could not run, and why. No record is kept of those. */
  readonly broken: readonly { readonly path: string; readonly why: string }[];
  /** Places of the returns that were stopped, tried again with nothing beside them, and stopped again. */
  readonly stoppedAlone: readonly string[];
}

const at = ({ sheet, student, path }: MarkRecord) => `${sheet} ${student} ${path}`;

/** A return whose run was stopped, and what stood before that run. */
interface Stopped {
  readonly one: ToMark;
  readonly old: MarkRecord | undefined;
  readonly record: MarkRecord;
}

/**
 * Mark returns, `jobs` at a time; each record and each notebook is written as it comes. What may have been stopped
 * because the machine was busy runs once more at the end, alone.
 */
export async function markAll(
  all: readonly ToMark[],
  folder: string,
  store: Records,
  confinement: Confinement,
  {
    jobs,
    limits,
    count,
    quiet = false,
    kept,
  }: {
    jobs: number;
    limits: RunLimits;
    quiet?: boolean;
    /** Where the files are that came with returns; those are without them unless given. */
    kept?: KeptFiles;
  } & Pick<MarkOptions, 'count'>,
): Promise<MarkedAll> {
  const records = new Map<ToMark, MarkRecord>();
  const broken: { path: string; why: string }[] = [];
  const waiting: ToMark[] = [];
  const again: Stopped[] = [];
  const stoppedAlone: string[] = [];
  for (const one of all) {
    const kept = recordWithoutRun(one, store.read(one.found), limits);
    if (!kept) waiting.push(one);
    else {
      await store.write(one.found, kept);
      records.set(one, withoutOutputs(kept));
    }
  }
  const progress = quiet ? undefined : markProgress(waiting.length);
  const left = turns(waiting);
  let done = 0;

  async function keep(one: ToMark, record: MarkRecord): Promise<void> {
    // Which is the best, and so shown as a notebook, is known when all are marked.
    const shown = count === 'latest' ? writeExecuted(folder, one, record) : undefined;
    await Promise.all([store.write(one.found, record), shown]);
    records.set(one, withoutOutputs(record));
  }

  async function work(): Promise<void> {
    const marker = returnMarker(confinement, limits, kept);
    try {
      for (let one = left.take(); one; one = left.take(one)) {
        try {
          const old = store.read(one.found);
          const isLast = left.sheetAfter(one) === undefined;
          const record = await marker.mark(one, old, {
            isLast,
            times: timesStopped(one, old, limits),
          });
          await keep(one, record);
          if (record.stopped?.times === 1 && mayHaveMetABusyMachine(record))
            again.push({ one, old, record: withoutOutputs(record) });
        } catch (error) {
          broken.push({ path: one.found.path, why: (error as Error).message });
        }
        done += 1;
        progress?.step(done);
      }
    } finally {
      marker.close();
    }
  }

  async function workAlone(): Promise<void> {
    if (again.length === 0) return;
    const marker = returnMarker(confinement, limits, kept);
    try {
      for (const { one, old, record: before } of again) {
        try {
          const record = await marker.mark(one, old, { isLast: true, times: 1 });
          await keep(one, record);
          if (wasStopped(record)) stoppedAlone.push(one.found.path);
        } catch (error) {
          // What the first run brought stands, and is told as it was.
          records.set(one, before);
          console.error(`${one.found.path}: ${(error as Error).message}`);
        }
      }
    } finally {
      marker.close();
    }
  }

  await Promise.all(Array.from({ length: Math.min(jobs, waiting.length) }, work));
  progress?.end();
  await workAlone();
  // Whoever was ready first: what is written from them is the same, byte for byte.
  const sorted = [...records.values()].sort((a, b) => (at(a) < at(b) ? -1 : 1));
  return { records: sorted, ran: waiting.length, broken, stoppedAlone: stoppedAlone.sort() };
}

/** The student whose numbers stand in a return: of a group's, one of the group. */
const drawnFor = ({ student, drawnFor: other = student }: ToMark['found']) => other;

/** What a run of this return depends on. */
export function ranDigest({ found, sheet }: ToMark, given: object): string {
  const points = JSON.stringify(samplings(sheet.key, given));
  const more = [found.typed, found.drawnFor].flatMap((one) => one ?? []);
  return digestOf(found.student, found.digest, sheet.digest, points, ...more);
}

type Ran = Pick<MarkRecord, 'cells' | 'failure' | 'says' | 'stopped' | 'typed'> & {
  answers: ReadonlyMap<string, PlainAnswer>;
};

function recordOf(toMark: ToMark, ran: string, run: Ran, old: MarkRecord | undefined): MarkRecord {
  const { found, sheet } = toMark;
  const { key, original } = sheet;
  const returned = notebookFrom(found.text);
  const written = writtenAnswers(original, returned);
  const judged: QuestionMark[] = judgeReturn(
    key,
    givensFor(key.sheet, drawnFor(found)),
    run.answers,
  ).map((mark) =>
    mark.state === 'to be read' && !Object.hasOwn(written, mark.question)
      ? { ...mark, state: 'not yet', message: 'Nothing was written.' }
      : mark,
  );
  const questions = withFaults(judged, { ...run, original, returned });
  const note = [found.note, run.says].filter((part) => part !== undefined).join(' ');
  const typed = run.typed ?? (old?.ran === ran ? old.typed : undefined);
  return {
    student: found.student,
    ...(found.drawnFor === undefined ? {} : { drawnFor: found.drawnFor }),
    sheet: sheet.name,
    path: found.path,
    time: found.time === undefined ? null : new Date(found.time).toISOString(),
    ...(found.from === undefined ? {} : { timeFrom: found.from }),
    ...(found.doubt === undefined ? {} : { doubt: found.doubt }),
    ...(note === '' ? {} : { note }),
    ...(found.flags === undefined ? {} : { flags: found.flags }),
    ...(typed === undefined || found.typed === undefined ? {} : { typed }),
    ran,
    key: sheet.keyDigest,
    questions,
    ...(run.failure === undefined ? {} : { failure: run.failure }),
    ...(run.says === undefined ? {} : { says: run.says }),
    ...(run.stopped === undefined ? {} : { stopped: run.stopped }),
    cells: run.cells.filter(({ error, outputs }) => error || outputs),
    answers: Object.fromEntries(run.answers),
    written,
  };
}

const isStopped = ({ error }: Pick<MarkRecord['cells'][number], 'error'>) =>
  error?.name === 'Stopped';

/** Something was stopped: by too short a limit, by a busy machine, or because it never ends. */
const wasStopped = ({ failure, cells }: Pick<MarkRecord, 'failure' | 'cells'>): boolean =>
  failure !== undefined || cells.some(isStopped);

/** True where a busy machine may have stopped it: what ran had little of the processor. */
export const mayHaveMetABusyMachine = (record: Pick<MarkRecord, 'failure' | 'cells'>): boolean =>
  record.failure !== undefined ||
  record.cells.some((cell) => isStopped(cell) && cell.error?.idle === true);

const isWithin = (limits: RunLimits, before: RunLimits) =>
  limits.cell <= before.cell && limits.sheet <= before.sheet;

/** Stopped twice with the same limits or longer ones: a third time would end the same way. */
const isSettled = ({ stopped }: MarkRecord, limits: RunLimits) =>
  stopped !== undefined && stopped.times >= 2 && isWithin(limits, stopped);

/** The record without running anything: as it was, or judged again with a changed key. Undefined when it must run. */
export function recordWithoutRun(
  toMark: ToMark,
  old: MarkRecord | undefined,
  limits: RunLimits,
): MarkRecord | undefined {
  if (!old || (wasStopped(old) && !isSettled(old, limits))) return undefined;
  const given = givensFor(toMark.sheet.key.sheet, drawnFor(toMark.found));
  const ran = ranDigest(toMark, given);
  if (old.ran !== ran) return undefined;
  const kept = Object.entries(old.answers).map(([id, answer]) => [id, readAnswer(answer)] as const);
  const answers = new Map(kept);
  return recordOf(toMark, ran, { ...old, answers }, old);
}

/** Runs returns one after the other; the child of the next is started while one runs. */
function returnMarker(confinement: Confinement, limits: RunLimits, kept?: KeptFiles) {
  const converter = converterProcess(confinement, limits.sheet);
  let idle: LineProcess | undefined;

  return {
    /**
     * @param old the record that stood before
     * @param isLast nothing will be marked after this one
     * @param times how often this very text was stopped before
     */
    async mark(
      toMark: ToMark,
      old: MarkRecord | undefined,
      { isLast, times }: { isLast: boolean; times: number },
    ): Promise<MarkRecord> {
      const run = await runAs(toMark, drawnFor(toMark.found), isLast);
      const typed = await judgedAsTyped(toMark, isLast);
      const stopped = wasStopped(run) ? { stopped: { times: times + 1, ...limits } } : {};
      const ran = ranDigest(toMark, givensFor(toMark.sheet.key.sheet, drawnFor(toMark.found)));
      return recordOf(toMark, ran, { ...run, ...stopped, ...(typed ? { typed } : {}) }, old);
    },
    close() {
      converter.kill();
      idle?.kill();
    },
  };

  /** The return judged with the number that stands in it, where that is nobody's. */
  async function judgedAsTyped(toMark: ToMark, isLast: boolean): Promise<MarkRecord['typed']> {
    const { found, sheet } = toMark;
    if (found.typed === undefined) return undefined;
    const run = await runAs(toMark, found.typed, isLast);
    const marks = judgeReturn(sheet.key, givensFor(sheet.key.sheet, found.typed), run.answers);
    return {
      number: found.typed,
      marks: Object.fromEntries(marks.map(({ question, marks: earned }) => [question, earned])),
    };
  }

  async function runAs({ found, sheet }: ToMark, student: string, isLast: boolean) {
    const given = givensFor(sheet.key.sheet, student);
    const ofSheet = new Set(sheet.original.cells.map(({ id }) => id));
    const cells = cellsToRun(sheet.original, notebookFrom(found.text), studentSlot, numberInCode);
    const asked = {
      sheet: closedSheet(sheet.key.sheet, student),
      student,
      cells: cells.map((cell) => ({ ...cell, isAdded: !ofSheet.has(cell.id) })),
      questions: samplings(sheet.key, given),
    };
    if (kept && found.files) {
      // A child that waits knows no files: this one is started with those of its return.
      const { folder, remove } = kept.layOut(found.files);
      const withFiles = () => confinement.startChild(folder);
      return runReturn(asked, converter, withFiles, limits).finally(remove);
    }
    const nextChild = () => {
      const child = idle ?? confinement.startChild();
      idle = isLast ? undefined : confinement.startChild();
      return child;
    };
    return runReturn(asked, converter, nextChild, limits);
  }
}

/** How often the text of a return was stopped before with these limits or longer ones, as its record says. */
export function timesStopped(
  toMark: ToMark,
  old: MarkRecord | undefined,
  limits: RunLimits,
): number {
  const { sheet, found } = toMark;
  if (!old?.stopped || !isWithin(limits, old.stopped)) return 0;
  const isSame = old.ran === ranDigest(toMark, givensFor(sheet.key.sheet, drawnFor(found)));
  return isSame ? old.stopped.times : 0;
}

/** Something of a sheet that is to be done. */
interface OfSheet {
  readonly sheet: { readonly name: string };
}

/** What is still to be done, for several who take from it. */
interface Turns<Task> {
  /**
   * The next one for whoever had `before` last: of the same sheet while there are any, then of the sheet that fewest
   * others are at, of these the one with most left.
   */
  take(before?: Task): Task | undefined;
  /** The sheet of which whoever has `now` will get one next, as it looks now. */
  sheetAfter(now: Task): string | undefined;
}

/**
 * Deal tasks out by sheets, since whoever stays with a sheet has converted most of the next return's cells already.
 *
 * @example turns([{ sheet: { name: 'a' } }]).take()?.sheet.name // 'a'
 */
export function turns<Task extends OfSheet>(tasks: readonly Task[]): Turns<Task> {
  const left = new Map<string, Task[]>();
  for (const task of tasks) {
    const { name } = task.sheet;
    const others = left.get(name);
    if (others) others.push(task);
    else left.set(name, [task]);
  }
  // The first of a sheet lies last, where it is taken from.
  for (const queue of left.values()) queue.reverse();
  const at = new Map<string, number>();
  const leave = (name: string) => at.set(name, (at.get(name) ?? 1) - 1);

  function sheetFor(before: string | undefined): string | undefined {
    if (before !== undefined && left.has(before)) return before;
    let best: string | undefined;
    const others = (name: string) => at.get(name) ?? 0;
    for (const [name, { length }] of left) {
      if (best === undefined) best = name;
      const fewer = others(best) - others(name);
      if (fewer > 0 || (fewer === 0 && length > left.get(best)!.length)) best = name;
    }
    return best;
  }

  return {
    take(before) {
      const name = sheetFor(before?.sheet.name);
      if (before) leave(before.sheet.name);
      if (name === undefined) return undefined;
      at.set(name, (at.get(name) ?? 0) + 1);
      const queue = left.get(name)!;
      const first = queue.pop();
      if (queue.length === 0) left.delete(name);
      return first;
    },
    sheetAfter: (now) => sheetFor(now.sheet.name),
  };
}

/** What a run tells the program that started it, where that one listens. */
export type RunTold =
  | { readonly done: number; readonly of: number }
  | { readonly lockDown: string };

/** Only tells: whether somebody still listens makes no difference to the run. */
export function tellParent(told: RunTold): void {
  if (process.connected) process.send?.(told, () => {});
}

/** Shows how far a run is: a bar with the time left on a terminal, a plain line now and then otherwise. */
function markProgress(of: number): { step(done: number): void; end(): void } {
  const out = process.stderr;
  const started = Date.now();
  tellParent({ done: 0, of });
  let told = started;
  const left = (done: number) => {
    const seconds = ((Date.now() - started) / 1000 / done) * (of - done);
    if (seconds < 90) return `${Math.ceil(seconds)} s left`;
    return `${Math.ceil(seconds / 60)} min left`;
  };
  return {
    step(done) {
      tellParent({ done, of });
      if (out.isTTY) {
        const full = Math.round((30 * done) / of);
        const bar = '█'.repeat(full) + '░'.repeat(30 - full);
        out.write(`\r${bar} ${done} of ${of} returns, ${left(done)} \u001b[K`);
      } else if (Date.now() - told > 10_000) {
        told = Date.now();
        out.write(`${done} of ${of} returns, ${left(done)}\n`);
      }
    },
    end() {
      if (out.isTTY) out.write('\r\u001b[K');
    },
  };
}
