import { cellConsole } from '../kernel/cell-console';
import { type CellContext, Interrupted, inCell } from '../kernel/cell-context';
import { noteCell, type RanCell } from '../kernel/cell-scripts';
import type { Modules } from '../kernel/modules';
import type { CellTold } from '../marking/read-run';
import { bounds, type JobCell } from './job';
import { runCode } from './run-code';

interface Running {
  readonly context: CellContext;
  readonly failed: Promise<never>;
  printed(): string;
}

/** The context of one cell: keeps a little of what it prints, shows nothing. */
function begin(): Running {
  let fail: (error: unknown) => void = () => {};
  const failed = new Promise<never>((_, reject) => {
    fail = reject;
  });
  failed.catch(() => {});
  const stops = new Set<() => void>();
  let printed = '';
  let stopped = false;
  const context: CellContext = {
    get stopped() {
      return stopped;
    },
    write(_, text) {
      if (printed.length < bounds.printed)
        printed += String(text).slice(0, bounds.printed - printed.length);
    },
    show() {},
    clear() {
      printed = '';
    },
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
  return { context, failed, printed: () => printed };
}

const turn = () => new Promise<void>((done) => setImmediate(done));

/** Run cells one after the other, sharing their variables. A cell that fails does not stop those after it. */
export async function runCells(
  cells: readonly JobCell[],
  modules: Modules,
  cellTime: number,
  onCell: (id: string) => void,
): Promise<CellTold[]> {
  const variables: Record<string, unknown> = {};
  const reports: CellTold[] = [];
  let now: Running = begin();
  const console = cellConsole(() => now.context);
  for (const [i, cell] of cells.entries()) {
    onCell(cell.id);
    now = begin();
    const { context, failed, printed } = now;
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
    const late = setTimeout(() => context.stop(), cellTime);
    const atEnd = new Promise((_, fail) => context.onStop(() => fail(new Interrupted())));
    atEnd.catch(() => {});
    try {
      await Promise.race([ran, failed, atEnd]);
      // Rejections that nothing handles show after the cell's own code.
      await Promise.race([turn(), failed]);
    } catch (thrown) {
      error = thrown;
      isFailed = true;
    }
    clearTimeout(late);
    const text = printed();
    reports.push({
      id: cell.id,
      ...(text ? { printed: text } : {}),
      ...(isFailed ? { error: told(error, script, cellTime) } : {}),
    });
  }
  return reports;
}

function told(error: unknown, script: string, cellTime: number): CellTold['error'] {
  try {
    const code = (error as NodeJS.ErrnoException | null)?.code;
    if (error instanceof Interrupted || code === 'ERR_SCRIPT_EXECUTION_TIMEOUT')
      return {
        name: 'Stopped',
        message: `The cell ran longer than ${cellTime / 1000} s and was stopped.`,
      };
    const { name, message, stack } = error as Error;
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
