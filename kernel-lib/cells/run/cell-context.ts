import type { MimeBundle } from '../../display/bundle';
import type { CommMessage } from '../../display/comm';
import type { StreamName } from '../host';

/** One run of one cell, known to what the cell started, also after its end. */
export interface CellContext {
  /** True once the cell was interrupted: its timers and waits go no further. */
  readonly stopped: boolean;
  write(name: StreamName, text: string): void;
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

/** Where what a cell brings forth goes. */
export interface CellSink {
  write(name: StreamName, text: string): void;
  show(bundle: MimeBundle, metadata?: Record<string, unknown>, id?: string): void;
  update(id: string, bundle: MimeBundle, metadata?: Record<string, unknown>): void;
  clear(wait: boolean): void;
  /** An error that comes when the cell has ended. */
  fail(error: unknown): void;
  comm?(message: CommMessage): void;
  /** Left out where nobody is there. */
  ask?(question: string): Promise<string>;
}

/** A context and what only the runner does with it. */
export interface OwnedContext {
  readonly context: CellContext;
  /** Who is told of errors that nothing caught; without anybody they go where the outputs go. */
  onFail(listener: ((error: unknown) => void) | undefined): void;
}

/** What becomes of a question where a cell's outputs go to a file, or to a front end that cannot ask. */
export const nobodyAnswers = (): Promise<never> =>
  Promise.reject(
    new Error(
      'prompt(…) asks a person, and nobody can answer here: not while a notebook is run from the command line, and not in a front end without a box for it. Write the value into the cell instead.',
    ),
  );

/** Knows which cell the running code belongs to. */
export interface RunningCells {
  /** The cell whose code runs now, as far as that is known for sure. */
  running(): CellContext | undefined;
  /** The cell that the running code belongs to; in a kernel all code that is not marked as its own. */
  current(): CellContext | undefined;
  /** The same, or else the cell that ran last, for what it left behind in callbacks. */
  currentOrLast(): CellContext | undefined;
  /** The cell that ran last. */
  last(): CellContext | undefined;
  /** Somebody waits for the end of this cell: what comes meanwhile and is not known to be of another is its. */
  attend(cell: CellContext | undefined): void;
  /**
   * From now on this is a kernel: what is not known to come from elsewhere comes from a cell.
   *
   * @param onInCell told when a cell's code begins and pauses
   */
  attributeEverything(onInCell: (inside: boolean) => void): void;
  /** Run `call` as part of a cell. */
  inCell<T>(context: CellContext, call: () => T): T;
  /** Run `call` as part of the program around the cells. */
  outside<T>(call: () => T): T;
  /** Code was cut off in the middle: nothing runs any more. */
  leave(): void;
  /** What `await` in a cell waits for: `value`, or the cell being stopped. */
  beforeWait(value: unknown): Waited | Promise<Waited>;
  /** After an `await` in a cell: the code that goes on belongs to that cell again, until it waits or ends. */
  afterWait(waited: Waited): unknown;
  /** The context of one run. */
  contextFor(sink: CellSink): OwnedContext;
}

interface Waited {
  readonly cell: CellContext | undefined;
  readonly value: unknown;
}

const isThenable = (value: unknown): value is PromiseLike<unknown> =>
  typeof (value as PromiseLike<unknown> | null)?.then === 'function';

/**
 * Node's own way of knowing where code belongs (AsyncLocalStorage) is not used: it ends the process when a loop is
 * cut off, and browsers have nothing like it. So the cell is noted where its code begins, goes on after a wait, or is
 * called by a timer; for callbacks beyond those the cell that ran last stands in.
 */
export function createRunningCells(): RunningCells {
  let running: CellContext | undefined;
  let last: CellContext | undefined;
  let attended: CellContext | undefined;
  let depthOutside = 0;
  let everything = false;
  let onInCell: (inside: boolean) => void = () => {};

  function setRunning(cell: CellContext | undefined): void {
    running = cell;
    onInCell(cell !== undefined);
  }

  /** Note the cell until the code that now goes on, already in line before the callback here, pauses. */
  function resume(cell: CellContext | undefined): void {
    setRunning(cell);
    queueMicrotask(() => {
      if (running === cell) setRunning(undefined);
    });
  }

  const cells: RunningCells = {
    running: () => (depthOutside > 0 ? undefined : running),
    current() {
      if (depthOutside > 0) return undefined;
      return running ?? attended ?? (everything ? last : undefined);
    },
    currentOrLast: () => cells.current() ?? last,
    last: () => last,
    attend(cell) {
      attended = cell;
    },
    attributeEverything(listener) {
      everything = true;
      onInCell = listener;
    },
    inCell(context, call) {
      const before = running;
      setRunning(context);
      last = context;
      try {
        return call();
      } finally {
        setRunning(before);
      }
    },
    outside(call) {
      depthOutside += 1;
      try {
        return call();
      } finally {
        depthOutside -= 1;
      }
    },
    leave() {
      setRunning(undefined);
      depthOutside = 0;
    },
    beforeWait(value) {
      const cell = cells.running();
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
    },
    afterWait({ cell, value }) {
      resume(cell);
      return value;
    },
    contextFor: (sink) => ownedContext(sink, cells),
  };
  return cells;
}

function ownedContext(sink: CellSink, { outside }: RunningCells): OwnedContext {
  const stops = new Set<() => void>();
  let stopped = false;
  let onFail: ((error: unknown) => void) | undefined;
  const context: CellContext = {
    get stopped() {
      return stopped;
    },
    write: sink.write,
    show: sink.show,
    update: sink.update,
    clear: sink.clear,
    ask(question) {
      // Code that caught the end of its wait may ask again and again, and nobody answers a stopped cell.
      if (stopped) return new Promise<never>(() => {});
      return outside(() => sink.ask?.(question) ?? nobodyAnswers());
    },
    comm: (message) => outside(() => sink.comm?.(message)),
    fail(error) {
      if (onFail) onFail(error);
      else sink.fail(error);
    },
    onStop(listener) {
      stops.add(listener);
      return () => stops.delete(listener);
    },
    stop() {
      stopped = true;
      for (const stop of [...stops]) stop();
    },
  };
  return {
    context,
    onFail: (listener) => {
      onFail = listener;
    },
  };
}
