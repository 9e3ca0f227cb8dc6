import type { Confinement } from '../../confined/confine';
import type { RunLimits } from '../../confined/run-return';
import { type MarkRecord, withoutOutputs } from '../../marking/record';
import type { MarkOptions } from './mark-options';
import { markProgress } from './mark-progress';
import { writeExecuted } from './notebooks';
import type { Records } from './records';
import { recordWithoutRun, returnMarker, type ToMark } from './return-marker';
import { turns } from './turns';

export interface MarkedAll {
  readonly records: readonly MarkRecord[];
  /** How many had to be run; the others stood from before. */
  readonly ran: number;
  /** Returns that this machine could not run, and why. No record is kept of those. */
  readonly broken: readonly { readonly path: string; readonly why: string }[];
}

const at = ({ sheet, student, path }: MarkRecord) => `${sheet} ${student} ${path}`;

/** Mark returns, `jobs` at a time; each record and each notebook is written as it comes. */
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
  const records: MarkRecord[] = [];
  const broken: { path: string; why: string }[] = [];
  const waiting: ToMark[] = [];
  for (const one of all) {
    const kept = recordWithoutRun(one, store.read(one.found));
    if (!kept) waiting.push(one);
    else {
      await store.write(one.found, kept);
      records.push(withoutOutputs(kept));
    }
  }
  const progress = quiet ? undefined : markProgress(waiting.length);
  const left = turns(waiting);
  let done = 0;

  async function work(): Promise<void> {
    const marker = returnMarker(confinement, limits);
    try {
      for (let one = left.take(); one; one = left.take(one)) {
        try {
          const old = store.read(one.found);
          const record = await marker.mark(one, old, left.sheetAfter(one));
          // Which is the best, and so shown as a notebook, is known when all are marked.
          const shown = count === 'latest' ? writeExecuted(folder, one, record) : undefined;
          await Promise.all([store.write(one.found, record), shown]);
          records.push(withoutOutputs(record));
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

  await Promise.all(Array.from({ length: Math.min(jobs, waiting.length) }, work));
  progress?.end();
  // Whoever was ready first: what is written from them is the same, byte for byte.
  records.sort((a, b) => (at(a) < at(b) ? -1 : 1));
  return { records, ran: waiting.length, broken };
}
