import { type CellReport, readRun } from '../marking/run-report';
import type { PlainAnswer } from '../questions/answer';
import type { ConverterProcess } from './converter-process';
import type { ClosedSheet, ConvertedCell, Job, JobCell, JobQuestion, SourceCell } from './job';
import type { LineProcess } from './line-process';

/** Longest times, ms. */
export interface RunLimits {
  readonly cell: number;
  readonly sheet: number;
}

export interface ReturnToRun {
  readonly sheet: ClosedSheet;
  readonly student: string;
  readonly cells: readonly SourceCell[];
  readonly questions: readonly JobQuestion[];
}

/** What a return brought forth. Values only: marks are decided elsewhere. */
export interface ReturnRun {
  readonly answers: ReadonlyMap<string, PlainAnswer>;
  readonly cells: readonly CellReport[];
  /** Why it has no answers at all. */
  readonly failure?: string;
  /** A sentence for whoever reads the list of returns. */
  readonly says?: string;
}

const startTime = 60_000;
const mostAttempts = 4;

/** So many cells that a student added are run. Nobody works a sheet with more. */
const mostAdded = 200;

type Attempt =
  | { readonly run: Pick<ReturnRun, 'answers' | 'cells'> }
  | { readonly brokeAt: string; readonly why: string; readonly idle?: true };

/** The cells that are run, and how many that the student added are not. */
function withinMost(cells: readonly SourceCell[]): { cells: SourceCell[]; over: number } {
  let added = 0;
  const kept = cells.filter(({ isAdded }) => {
    if (isAdded) added += 1;
    return !isAdded || added <= mostAdded;
  });
  return { cells: kept, over: cells.length - kept.length };
}

/**
 * Convert and run one return, each in its own process. A cell that ends the child, or does not end, is left out and
 * the rest runs again, so that one bad cell costs its own question only.
 *
 * @throws Error when no child began: that is this machine's fault, never a student's
 */
export async function runReturn(
  asked: ReturnToRun,
  converter: ConverterProcess,
  nextChild: () => LineProcess,
  limits: RunLimits,
): Promise<ReturnRun> {
  const { cells, over } = withinMost(asked.cells);
  const says =
    over === 0
      ? {}
      : {
          says: `${over} cells were left out: of those that a student adds to a sheet, the first ${mostAdded} are run.`,
        };
  const converted = await converter.convert(cells);
  const told = new Map<string, CellReport>();
  for (const cell of converted)
    if ('fault' in cell) told.set(cell.id, { id: cell.id, error: { ...cell.fault, unrun: true } });
  const leftOut = new Set<string>();
  const until = Date.now() + limits.sheet;
  const ids = [...cells, ...asked.questions].map(({ id }) => id);
  let failure = '';
  for (let n = 0; n < mostAttempts && Date.now() < until; n++) {
    const job = jobOf({ ...asked, cells }, converted, leftOut, limits);
    const attempt = await runOnce(job, nextChild(), until);
    if ('run' in attempt) {
      for (const cell of await withLines(attempt.run.cells, converter))
        if (!leftOut.has(cell.id)) told.set(cell.id, cell);
      return { answers: attempt.run.answers, cells: inOrder(ids, told), ...says };
    }
    const { brokeAt, why, idle } = attempt;
    failure = why;
    if (leftOut.has(brokeAt)) break;
    leftOut.add(brokeAt);
    const error = { name: 'Stopped', message: why, ...(idle ? { idle } : {}) };
    told.set(brokeAt, { id: brokeAt, error });
  }
  const why = failure || 'The sheet took too long.';
  return { answers: new Map(), cells: inOrder(ids, told), failure: why, ...says };
}

function jobOf(
  { sheet, student, questions, cells: all }: ReturnToRun,
  converted: readonly ConvertedCell[],
  leftOut: ReadonlySet<string>,
  limits: RunLimits,
): Job {
  const shown = new Set(all.filter(({ isOwn }) => isOwn).map(({ id }) => id));
  const cells = converted.flatMap((cell): JobCell[] =>
    'code' in cell && !leftOut.has(cell.id) ? [{ ...cell.code, shows: shown.has(cell.id) }] : [],
  );
  const asked = questions.filter(({ id }) => !leftOut.has(id));
  return { sheet, student, cells, questions: asked, cellTime: limits.cell };
}

const reasons = {
  late: (time: number) => `It ran longer than ${time / 1000} s and was stopped.`,
  ended: () => 'It ended the run, or used more memory than there is for a sheet.',
  flood: () => 'It sent more than there is room for.',
};

/** No cell of anybody's was at work yet. */
function neverBegan(none: keyof typeof reasons, complaint: string): string {
  const said = complaint.trim().split('\n')[0]?.slice(0, 300) ?? '';
  const how = none === 'late' ? `it said nothing for ${startTime / 1000} s` : said || 'it ended';
  return `No process for its code began on this machine (${how}); run the same command again.`;
}

async function runOnce(job: Job, child: LineProcess, until: number): Promise<Attempt> {
  const known = new Set([...job.cells, ...job.questions].map(({ id }) => id));
  const questions = job.questions.map(({ id }) => id);
  // The child itself stops what pauses or loops; this is for what it cannot stop.
  const patience = job.cellTime * 1.5 + 1000;
  let began = false;
  let brokeAt = '';
  try {
    child.send(job, true);
    for (;;) {
      const left = Math.max(1, until - Date.now());
      const heard = await child.next(!began ? startTime : Math.min(patience, left));
      if (!('line' in heard)) {
        const why = reasons[heard.none](job.cellTime);
        if (!began) throw new Error(neverBegan(heard.none, child.complaint));
        return { brokeAt, why, ...(heard.none === 'late' ? { idle: true } : {}) };
      }
      const run = readRun(heard.line, questions);
      if (run && 'answers' in run) return { run };
      began ||= run !== undefined;
      if (run && known.has(run.at)) brokeAt = run.at;
    }
  } finally {
    child.kill();
  }
}

/** Places in emitted code become lines of the cell. */
async function withLines(
  cells: readonly CellReport[],
  converter: ConverterProcess,
): Promise<CellReport[]> {
  // Of one cell there may be two places: where it stopped, and where its function did later.
  const linesOf = (isLater: boolean) =>
    converter.places(
      cells.flatMap(({ id, error }) =>
        error?.line === undefined || (error.cell !== undefined) !== isLater
          ? []
          : [{ id: error.cell ?? id, line: error.line, column: error.column ?? 1 }],
      ),
    );
  const [first, later] = [await linesOf(false), await linesOf(true)];
  return cells.map((cell) => {
    if (!cell.error) return cell;
    const { name, message, idle, cell: where } = cell.error;
    const line = where === undefined ? first.get(cell.id) : later.get(where);
    const more = {
      ...(line === undefined ? {} : { line }),
      ...(where === undefined ? {} : { cell: where }),
      ...(idle ? { idle } : {}),
    };
    return { ...cell, error: { name, message, ...more } };
  });
}

function inOrder(ids: readonly string[], told: ReadonlyMap<string, CellReport>): CellReport[] {
  return ids.flatMap((id) => told.get(id) ?? []);
}
