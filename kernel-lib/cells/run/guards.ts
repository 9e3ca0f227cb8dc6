import type { Host } from '../host';
import { type CellContext, isInterrupted, type RunningCells } from './cell-context';
import { attempt, type CellErrors } from './cell-errors';

export interface Guards {
  /** The cell whose timer callback was cut off, if one was. */
  takeCallbackCell(): CellContext | undefined;
}

/** Files of this program, in a stack. */
const ownFiles = /[\\/](?:\.build|kernel-lib)[\\/]/;

/** Make this process safe for cells: what a cell prints, ends or leaves unhandled comes back to that cell. */
export function installGuards(host: Host, cells: RunningCells, errors: CellErrors): Guards {
  errors.ownStacks();
  host.guard({
    cell: cells.current,
    uncaught(error) {
      if (isInterrupted(error)) return true;
      const stack = attempt(() => (error as Error).stack, undefined);
      const isOwn = typeof stack === 'string' && ownFiles.test(stack);
      const cell = errors.cellOf(error) ?? cells.current() ?? (isOwn ? undefined : cells.last());
      cell?.fail(error);
      return cell !== undefined;
    },
  });
  return guardTimers(cells);
}

type Timer = (callback: (...args: unknown[]) => void, ...rest: unknown[]) => unknown;

/** By which Node's `promisify` finds a timer's other form. */
const promised = Symbol.for('nodejs.util.promisify.custom');

/** Timers of a stopped cell do nothing more; what they throw is the cell's error. */
function guardTimers({ running, inCell }: RunningCells): Guards {
  const all = globalThis as unknown as Record<string, Timer | undefined>;
  const { setTimeout, setInterval, setImmediate, clearImmediate } = globalThis;
  let calling: CellContext | undefined;
  const guard = (name: string, plain: Timer, original: Timer) => {
    const guarded: Timer = (callback, ...rest) => {
      const cell = running();
      if (!cell || typeof callback !== 'function') return plain(callback, ...rest);
      const timer = original(
        (...args) => {
          if (cell.stopped) {
            clearInterval(timer as ReturnType<typeof setInterval>);
            return;
          }
          calling = cell;
          try {
            inCell(cell, () => callback(...args));
          } catch (error) {
            cell.fail(error);
          }
          calling = undefined;
        },
        ...rest,
      );
      return timer;
    };
    const other = (plain as { [promised]?: unknown })[promised];
    if (other) Object.defineProperty(guarded, promised, { value: other });
    Object.defineProperty(guarded, 'name', { value: name });
    all[name] = guarded;
  };
  guard('setTimeout', setTimeout as Timer, setTimeout as Timer);
  guard('setInterval', setInterval as Timer, setInterval as Timer);
  // As a timer: an immediate that is cut off leaves Node calling its queue for ever.
  guard('setImmediate', setImmediate as Timer, (callback, ...args) =>
    (setTimeout as Timer)(callback, 0, ...args),
  );
  all.clearImmediate = (immediate) => {
    clearTimeout(immediate as unknown as ReturnType<typeof setTimeout>);
    clearImmediate?.(immediate as unknown as Parameters<typeof clearImmediate>[0]);
  };
  return {
    takeCallbackCell() {
      const cell = calling;
      calling = undefined;
      return cell;
    },
  };
}
