import { cellConsole } from '../kernel/cell-console';
import { type CellContext, Interrupted, inCell } from '../kernel/cell-context';
import { noteCell, type RanCell } from '../kernel/cell-scripts';
import type { Modules } from '../kernel/modules';
import { valueBundle } from '../kernel/value-bundle';
import type { CellTold } from '../marking/read-run';
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
    write: (name, text) => gathered.print(name, String(text)),
    show: (bundle) => gathered.show('shown', bundle),
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

/** A timer's handle, what a cell ends with that sets one, says nothing to a reader. */
const isTimer = (value: unknown) =>
  /^(Timeout|Immediate)$/.test((value as object | null)?.constructor?.name ?? '');

/** Show a cell's last value. Looking at it may run the student's code, so it is cut off like a cell. */
function showValue(result: unknown, { gathered, context }: Running, cellTime: number): void {
  const value = Array.isArray(result) ? result[0] : undefined;
  callInTime(
    () =>
      inCell(context, () => {
        if (value !== undefined && !isTimer(value)) gathered.show('value', valueBundle(value));
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
    const noted = { source: '', code: cell, count: i + 1, context } as unknown as RanCell;
    const script = noteCell(1, noted);
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
function withFilesNote({ code, message }: NodeJS.ErrnoException): string {
  return code === 'ENOENT' || code === 'ERR_ACCESS_DENIED'
    ? `${message} (Files beside a notebook are not there while it is marked.)`
    : message;
}

/** What is told of a cell that was stopped. */
export const stoppedError = (message: string, isIdle: boolean): NonNullable<CellTold['error']> => ({
  name: 'Stopped',
  message,
  ...(isIdle ? { idle: true } : {}),
});

function told(
  error: unknown,
  script: string,
  cellTime: number,
  isIdle: boolean,
): CellTold['error'] {
  try {
    const code = (error as NodeJS.ErrnoException | null)?.code;
    if (error instanceof Interrupted || code === 'ERR_SCRIPT_EXECUTION_TIMEOUT')
      return stoppedError(`The cell ran longer than ${cellTime / 1000} s and was stopped.`, isIdle);
    const { name, stack } = error as Error;
    const message = withFilesNote(error as NodeJS.ErrnoException);
    const isError = typeof name === 'string' && typeof message === 'string';
    const at = new RegExp(`${script}:(\\d+):(\\d+)`).exec(String(stack ?? '').slice(0, 20_000));
    return {
      name: isError ? name.slice(0, 80) : 'Thrown',
      message: (isError ? message : String(error)).slice(0, bounds.message),
      ...(at ? { line: Number(at[1]), column: Number(at[2]) } : {}),
    };
  } catch {
    return { name: 'Thrown', message: 'Something that cannot be read was thrown.' };
  }
}
