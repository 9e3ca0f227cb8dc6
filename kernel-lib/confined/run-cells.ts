import { cellConsole } from '../kernel/cell-console';
import { type CellContext, Interrupted, inCell, isInterrupted } from '../kernel/cell-context';
import { nobodyAnswers } from '../kernel/cell-library';
import { noteCell } from '../kernel/cell-scripts';
import { emittedFrames } from '../kernel/cell-stack';
import { attempt, describeThrown, withoutHolder } from '../kernel/describe-thrown';
import type { Modules } from '../kernel/modules';
import { isShown, valueBundle } from '../kernel/value-bundle';
import type { CellTold } from '../marking/run-report';
import { outputGatherer } from './gather-outputs';
import { bounds, type JobCell } from './job';
import { callInTime, runCode } from './run-code';

type Gathered = ReturnType<ReturnType<typeof outputGatherer>>;

interface Running {
  readonly context: CellContext;
  readonly failed: Promise<never>;
  readonly gathered: Gathered;
}

/** The context of one cell: keeps some of what it prints and shows. */
function begin(gathered: Gathered): Running {
  let fail: (error: unknown) => void = () => {};
  const failed = new Promise<never>((_, reject) => {
    fail = reject;
  });
  failed.catch(() => {});
  const stops = new Set<() => void>();
  let stopped = false;
  const context: CellContext = {
    get stopped() {
      return stopped;
    },
    write: (name, text) => gathered.print(name, withoutHolder(String(text))),
    show: (bundle, _, id) => gathered.show('shown', bundle, id),
    update: gathered.update,
    ask: nobodyAnswers,
    clear: gathered.clear,
    comm() {},
    fail,
    onStop(listener) {
      stops.add(listener);
      return () => stops.delete(listener);
    },
    stop() {
      stopped = true;
      for (const stop of [...stops]) stop();
    },
  };
  return { context, failed, gathered };
}

const cutShort = {
  is: 'printed',
  name: 'stderr',
  text: '\nMore came out of this cell than is kept.\n',
} as const;

const { cpuUsage } = process;
const { now: wallTime } = performance;

/** A watch that tells whether less than half of the time that went by was spent on the processor, from 1 s on. */
export function idleWatch(): () => boolean {
  const began = wallTime.call(performance);
  const used = cpuUsage();
  return () => {
    const passed = wallTime.call(performance) - began;
    const { user, system } = cpuUsage(used);
    return passed > 1000 && (user + system) / 1000 < passed / 2;
  };
}

const turn = () => new Promise<void>((done) => setImmediate(done));

/** Show a cell's last value. Looking at it may run the student's code, so it is cut off like a cell. */
function showValue(result: unknown, { gathered, context }: Running, cellTime: number): void {
  const value = Array.isArray(result) ? result[0] : undefined;
  callInTime(
    () =>
      inCell(context, () => {
        if (isShown(value)) gathered.show('value', valueBundle(value));
      }),
    cellTime,
  );
}

/**
 * Run cells one after the other, sharing their variables. A cell that fails does not stop those after it.
 *
 * @param onCell told before each cell
 */
export async function runCells(
  cells: readonly JobCell[],
  modules: Modules,
  cellTime: number,
  onCell: (cell: JobCell) => void,
): Promise<CellTold[]> {
  const variables: Record<string, unknown> = {};
  const reports: CellTold[] = [];
  const gather = outputGatherer();
  let now: Running = begin(gather());
  const console = cellConsole(() => now.context);
  for (const [i, cell] of cells.entries()) {
    onCell(cell);
    now = begin(gather());
    const { context, failed, gathered } = now;
    const script = noteCell(1, { source: '', count: i + 1, context });
    cellOfScript.set(script, cell);
    const ran = new Promise<unknown>((done, fail) => {
      setImmediate(() =>
        inCell(context, () => {
          try {
            const start = () => runCode(cell, script, { variables, modules, console }, cellTime);
            const loading = modules.load(cell.modules);
            done(loading ? loading.then(() => inCell(context, start)) : start());
          } catch (error) {
            fail(error);
          }
        }),
      );
    });
    let error: unknown;
    let isFailed = false;
    const isIdle = idleWatch();
    const late = setTimeout(() => context.stop(), cellTime);
    const atEnd = new Promise((_, fail) => context.onStop(() => fail(new Interrupted())));
    atEnd.catch(() => {});
    try {
      const result = await Promise.race([ran, failed, atEnd]);
      // Rejections that nothing handles show after the cell's own code.
      await Promise.race([turn(), failed]);
      if (cell.shows) showValue(result, now, cellTime);
    } catch (thrown) {
      error = thrown;
      isFailed = true;
    }
    clearTimeout(late);
    gathered.settle();
    if (gathered.isCut) gathered.outputs.push(cutShort);
    reports.push({
      id: cell.id,
      ...(gathered.outputs.length > 0 ? { outputs: [...gathered.outputs] } : {}),
      ...(isFailed ? { error: told(error, script, cellTime, isIdle()) } : {}),
    });
  }
  return reports;
}

/** A student's own photograph was there at home; whoever reads the marks should know why it is not here. */
function withFilesNote(code: unknown, message: string): string {
  return code === 'ENOENT' || code === 'ERR_ACCESS_DENIED'
    ? `${message} (Files beside a notebook are not there while it is marked.)`
    : message;
}

/** The cell of each script that ran. */
const cellOfScript = new Map<string, JobCell>();

/** The topmost place of an error's stack that lies in a cell. */
export function placeOf(
  error: unknown,
): { cell: string; line: number; column: number } | undefined {
  for (const { script, line, column } of emittedFrames(error)) {
    const cell = cellOfScript.get(script)?.id;
    if (cell !== undefined) return { cell, line, column };
  }
  return undefined;
}

/** What is told of a cell that was stopped. */
export const stoppedError = (message: string, isIdle: boolean): NonNullable<CellTold['error']> => ({
  name: 'Stopped',
  message,
  ...(isIdle ? { idle: true } : {}),
});

/** What a cell threw, in words; looking at it may throw and is cut off like a cell. */
function told(
  error: unknown,
  script: string,
  cellTime: number,
  isIdle: boolean,
): CellTold['error'] {
  const stopped = stoppedError(
    `The cell ran longer than ${cellTime / 1000} s and was stopped.`,
    isIdle,
  );
  if (isInterrupted(error)) return stopped;
  try {
    return callInTime(() => {
      const code = attempt(() => (error as NodeJS.ErrnoException | null)?.code, undefined);
      if (code === 'ERR_SCRIPT_EXECUTION_TIMEOUT') return stopped;
      const { ename, evalue } = describeThrown(error);
      const at = emittedFrames(error).find((frame) => frame.script === script);
      return {
        name: ename.slice(0, 80),
        message: withFilesNote(code, evalue).slice(0, bounds.message),
        ...(at ? { line: at.line, column: at.column } : {}),
      };
    }, cellTime);
  } catch {
    return { name: 'Thrown', message: 'Something that cannot be read was thrown.' };
  }
}
