import { type CellTold, readRun } from '../marking/read-run';
import type { PlainAnswer } from '../questions/plain-answer';
import type { ConvertedCell, SourceCell } from './conversion';
import type { ConverterProcess } from './converter-process';
import type { Job, JobCell, JobQuestion } from './job';
import type { LineProcess } from './line-process';

/** Longest times, ms. */
export interface RunLimits {
  readonly cell: number;
  readonly sheet: number;
}

export interface ReturnToRun {
  readonly sheet: string;
  readonly student: string;
  readonly cells: readonly SourceCell[];
  readonly questions: readonly JobQuestion[];
}

/** What a return brought forth. Values only: marks are decided elsewhere. */
export interface ReturnRun {
  readonly answers: ReadonlyMap<string, PlainAnswer>;
  readonly cells: readonly CellTold[];
  /** Why it has no answers at all. */
  readonly failure?: string;
}

const startTime = 60_000;
const mostAttempts = 4;

type Attempt =
  | { readonly run: Pick<ReturnRun, 'answers' | 'cells'> }
  | { readonly brokeAt: string; readonly why: string };

/**
 * Convert and run one return, each in its own process. A cell that ends the child, or does not end, is left out and
 * the rest runs again, so that one bad cell costs its own question only.
 */
export async function runReturn(
  asked: ReturnToRun,
  converter: ConverterProcess,
  nextChild: () => LineProcess,
  limits: RunLimits,
): Promise<ReturnRun> {
  const converted = await converter.convert(asked.cells);
  const told = new Map<string, CellTold>();
  for (const cell of converted)
    if ('fault' in cell) told.set(cell.id, { id: cell.id, error: cell.fault });
  const leftOut = new Set<string>();
  const until = Date.now() + limits.sheet;
  let failure = '';
  for (let n = 0; n < mostAttempts && Date.now() < until; n++) {
    const attempt = await runOnce(jobOf(asked, converted, leftOut, limits), nextChild(), until);
    if ('run' in attempt) {
      for (const cell of await withLines(attempt.run.cells, converter))
        if (!leftOut.has(cell.id)) told.set(cell.id, cell);
      return { answers: attempt.run.answers, cells: inOrder(asked.cells, told) };
    }
    const { brokeAt, why } = attempt;
    failure = why;
    if (brokeAt === '' || leftOut.has(brokeAt)) break;
    leftOut.add(brokeAt);
    told.set(brokeAt, { id: brokeAt, error: { name: 'Stopped', message: why } });
  }
  const why = failure || 'The sheet took too long.';
  return { answers: new Map(), cells: inOrder(asked.cells, told), failure: why };
}

function jobOf(
  { sheet, student, questions, cells: all }: ReturnToRun,
  converted: readonly ConvertedCell[],
  leftOut: ReadonlySet<string>,
  limits: RunLimits,
): Job {
  const own = new Set(all.filter(({ isOwn }) => isOwn).map(({ id }) => id));
  const cells = converted.flatMap((cell): JobCell[] =>
    'code' in cell && !leftOut.has(cell.id) ? [{ ...cell.code, shows: own.has(cell.id) }] : [],
  );
  const asked = questions.filter(({ id }) => !leftOut.has(id));
  return { sheet, student, cells, questions: asked, cellTime: limits.cell };
}

const reasons = {
  late: (time: number) => `It ran longer than ${time / 1000} s and was stopped.`,
  ended: () => 'It ended the run, or used more memory than there is for a sheet.',
  flood: () => 'It sent more than there is room for.',
};

async function runOnce(job: Job, child: LineProcess, until: number): Promise<Attempt> {
  const own = new Set([...job.cells, ...job.questions].map(({ id }) => id));
  const questions = job.questions.map(({ id }) => id);
  // The child itself stops what pauses or loops; this is for what it cannot stop.
  const patience = job.cellTime * 1.5 + 1000;
  let brokeAt = '';
  try {
    child.send(job, true);
    for (;;) {
      const left = Math.max(1, until - Date.now());
      const heard = await child.next(brokeAt === '' ? startTime : Math.min(patience, left));
      if (!('line' in heard)) return { brokeAt, why: reasons[heard.none](job.cellTime) };
      const run = readRun(heard.line, questions);
      if (run && 'answers' in run) return { run };
      if (run && own.has(run.at)) brokeAt = run.at;
    }
  } finally {
    child.kill();
  }
}

/** Places in emitted code become lines of the cell. */
async function withLines(
  cells: readonly CellTold[],
  converter: ConverterProcess,
): Promise<CellTold[]> {
  const places = cells.flatMap(({ id, error }) =>
    error?.line === undefined ? [] : [{ id, line: error.line, column: error.column ?? 1 }],
  );
  const lines = await converter.places(places);
  return cells.map((cell) => {
    if (!cell.error) return cell;
    const { name, message } = cell.error;
    const line = lines.get(cell.id);
    return { ...cell, error: { name, message, ...(line === undefined ? {} : { line }) } };
  });
}

function inOrder(cells: readonly SourceCell[], told: ReadonlyMap<string, CellTold>): CellTold[] {
  return cells.flatMap(({ id }) => told.get(id) ?? []);
}
