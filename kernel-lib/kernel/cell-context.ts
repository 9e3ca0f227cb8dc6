import type { MimeBundle } from '../display/bundle';
import type { CommMessage } from '../display/comm';

/** One run of one cell, known to what the cell started, also after its end. */
export interface CellContext {
  /** True once the cell was interrupted: its timers and waits go no further. */
  readonly stopped: boolean;
  write(name: 'stdout' | 'stderr', text: string): void;
  show(bundle: MimeBundle, metadata?: Record<string, unknown>, id?: string): void;
  update(id: string, bundle: MimeBundle, metadata?: Record<string, unknown>): void;
  /** Asks the person at the screen. */
  ask(question: string): Promise<string>;
  clear(wait: boolean): void;
  comm(message: CommMessage): void;
  /** An error that nothing in the cell caught. */
  fail(error: unknown): void;
  /** Calls back when the cell is interrupted; returns the way to stop that. */
  onStop(listener: () => void): () => void;
  stop(): void;
}

// Node's own way of knowing where code belongs (AsyncLocalStorage) is not used: it ends the process when
// a loop is cut off. So the cell is noted where its code begins, goes on after a wait, or is called by a
// timer; for callbacks beyond those the cell that ran last stands in.
let running: CellContext | undefined;
let latest: CellContext | undefined;
let attended: CellContext | undefined;
let outside = 0;
let everything = false;
let tellInCell: (inside: boolean) => void = () => {};

/** The cell whose code runs now, as far as that is known for sure. */
export const runningCell = (): CellContext | undefined => (outside > 0 ? undefined : running);

/** The cell that the running code belongs to; in a kernel all code that is not marked as its own. */
export function currentCell(): CellContext | undefined {
  if (outside > 0) return undefined;
  return running ?? attended ?? (everything ? latest : undefined);
}

/** Somebody waits for the end of this cell: what comes meanwhile and is not known to be of another is its. */
export function attend(cell: CellContext | undefined): void {
  attended = cell;
}

/** The cell that ran last, for what it left behind in callbacks. */
export const latestCell = (): CellContext | undefined => latest;

/**
 * From now on this process is a kernel: what is not known to come from elsewhere comes from a cell.
 *
 * @param onInCell told when a cell's code begins and pauses
 */
export function attributeEverything(onInCell: (inside: boolean) => void): void {
  everything = true;
  tellInCell = onInCell;
}

function setRunning(cell: CellContext | undefined): void {
  running = cell;
  tellInCell(cell !== undefined);
}

/** Run `call` as part of a cell. */
export function inCell<T>(context: CellContext, call: () => T): T {
  const before = running;
  setRunning(context);
  latest = context;
  try {
    return call();
  } finally {
    setRunning(before);
  }
}

/** Run `call` as part of the program around the cells. */
export function outsideCells<T>(call: () => T): T {
  outside += 1;
  try {
    return call();
  } finally {
    outside -= 1;
  }
}

/** Code was cut off in the middle: nothing runs any more. */
export function leaveCells(): void {
  setRunning(undefined);
  outside = 0;
}

/** Thrown into a cell that is stopped. */
export class Interrupted extends Error {
  override readonly name = 'Interrupted';
  constructor() {
    super('The cell was stopped. Variables keep the values they have.');
  }
}

/** True for what stops a cell. Never throws, whatever it is given. */
export function isInterrupted(error: unknown): error is Interrupted {
  try {
    return error instanceof Interrupted;
  } catch {
    return false;
  }
}

interface Waited {
  readonly cell: CellContext | undefined;
  readonly value: unknown;
}

const isThenable = (value: unknown): value is PromiseLike<unknown> =>
  typeof (value as PromiseLike<unknown> | null)?.then === 'function';

/** What `await` in a cell waits for: `value`, or the cell being stopped. */
export function beforeWait(value: unknown): Waited | Promise<Waited> {
  const cell = runningCell();
  if (cell?.stopped) throw new Interrupted();
  if (!isThenable(value)) return { cell, value };
  return new Promise((done, fail) => {
    // The code that goes on after `fail` must know its cell: `resume` comes second, see there.
    const forget = cell?.onStop(() => {
      fail(new Interrupted());
      resume(cell);
    });
    value.then(
      (settled) => {
        forget?.();
        done({ cell, value: settled });
      },
      (error) => {
        forget?.();
        fail(error);
        resume(cell);
      },
    );
  });
}

/** After an `await` in a cell: the code that goes on belongs to that cell again, until it waits or ends. */
export function afterWait({ cell, value }: Waited): unknown {
  resume(cell);
  return value;
}

/** Note the cell until the code that now goes on, already in line before the callback here, pauses. */
function resume(cell: CellContext | undefined): void {
  setRunning(cell);
  queueMicrotask(() => {
    if (running === cell) setRunning(undefined);
  });
}
