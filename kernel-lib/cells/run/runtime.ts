import type { CommExchange, CommMessage } from '../../display/comm';
import type * as Library from '../../index';
import type { Host } from '../host';
import {
  type CellContext,
  createRunningCells,
  isInterrupted,
  nobodyAnswers,
  type RunningCells,
} from './cell-context';
import { attempt, type CellErrors, createCellErrors } from './cell-errors';
import { plainBundle } from './output';

/** What all cells of one process, or of one worker, share. There is one of it, since they share their globals too. */
export interface Runtime {
  readonly host: Host;
  readonly cells: RunningCells;
  readonly errors: CellErrors;
  readonly library: CellLibrary;
  /** From now on what a cell prints, ends or leaves unhandled comes back to it. Once is enough. */
  guard(): void;
  /** The cell whose timer callback was cut off, if one was. */
  takeCallbackCell(): CellContext | undefined;
  /** A number that no other session has. */
  nextSession(): number;
}

export function createRuntime(host: Host): Runtime {
  const cells = createRunningCells();
  const errors = createCellErrors(host);
  let guards: Guards | undefined;
  let sessions = 0;
  return {
    host,
    cells,
    errors,
    library: createCellLibrary(host, cells),
    guard() {
      guards ??= installGuards(host, cells, errors);
    },
    takeCallbackCell: () => guards?.takeCallbackCell(),
    nextSession() {
      sessions += 1;
      return sessions;
    },
  };
}

interface Guards {
  /** The cell whose timer callback was cut off, if one was. */
  takeCallbackCell(): CellContext | undefined;
}

/** Files of this program, in a stack. */
const ownFiles = /[\\/](?:\.build|kernel-lib)[\\/]/;

/** Make this process safe for cells: what a cell prints, ends or leaves unhandled comes back to that cell. */
function installGuards(host: Host, cells: RunningCells, errors: CellErrors): Guards {
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
  const asTimer: Timer = (callback, ...args) => (setTimeout as Timer)(callback, 0, ...args);
  guard('setImmediate', (setImmediate as Timer | undefined) ?? asTimer, asTimer);
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

/** The library of cells, and the lines that it has open to clients. */
interface CellLibrary {
  /** The library as cells import it: what it shows goes to the cell that shows it. */
  names(): typeof Library;
  /** The same where a cell has asked for it before. */
  loaded(): typeof Library | undefined;
  /** Give the library a client's comm message. */
  receive(message: CommMessage): void;
  /** The target of each open comm, by id. */
  openComms(): Record<string, string>;
  /** Who says which cells are to be run once a slider has moved a variable; the last one to say so. */
  onMoved(told: (name: string) => string | undefined): void;
}

/** The library that a host has, its ports laid to the cells. Loaded when first asked for. */
function createCellLibrary(host: Host, cells: RunningCells): CellLibrary {
  let exchange: CommExchange | undefined;
  let told: (name: string) => string | undefined = () => undefined;
  const cell = cells.currentOrLast;

  function names(): typeof Library {
    const library = host.library();
    if (exchange) return library;
    exchange = library.connectComms((message) => cell()?.comm(message));
    library.setSheetSource(host.sheets.find, host.sheets.names);
    library.setFilesBeside(host.beside.find, host.beside.names);
    library.setBenchScript(host.benchScript);
    library.acceptMoves((name) => told(name));
    const print = library.setDisplayPort({
      show(bundle, metadata, id) {
        const shows = cell();
        if (shows) shows.show(plainBundle(bundle), metadata, id);
        else print.show(bundle, metadata);
      },
      update: (id, bundle, metadata) => cell()?.update(id, plainBundle(bundle), metadata),
      clear: (wait) => cell()?.clear(wait),
      ask: (question) => cell()?.ask(question) ?? nobodyAnswers(),
    });
    return library;
  }

  return {
    names,
    loaded: () => exchange && host.library(),
    receive(message) {
      names();
      exchange?.receive(message);
    },
    openComms: () => exchange?.open() ?? {},
    onMoved(next) {
      told = next;
    },
  };
}
