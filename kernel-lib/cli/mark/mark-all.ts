import type { RunLimits } from '../../confined/run-return';
import type { Confinement } from '../../confined/walls';
import { type MarkRecord, withoutOutputs } from '../../marking/record';
import type { MarkOptions } from './mark-options';
import { markProgress } from './mark-progress';
import { writeExecuted } from './notebooks';
import type { Records } from './records';
import {
  mayHaveMetABusyMachine,
  recordWithoutRun,
  returnMarker,
  type ToMark,
  timesStopped,
  wasStopped,
} from './return-marker';
import { turns } from './turns';

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
  }: { jobs: number; limits: RunLimits; quiet?: boolean } & Pick<MarkOptions, 'count'>,
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
    const marker = returnMarker(confinement, limits);
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
    const marker = returnMarker(confinement, limits);
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
