import { AsyncLocalStorage } from 'node:async_hooks';
import type { MimeBundle } from '../display/bundle';
import type { CommMessage } from '../display/comm';

/** One run of one cell, known to everything that the cell started, also after its end. */
export interface CellContext {
  /** True once the cell was interrupted: its timers and waits go no further. */
  readonly stopped: boolean;
  write(name: 'stdout' | 'stderr', text: string): void;
  show(bundle: MimeBundle, metadata?: Record<string, unknown>): void;
  clear(wait: boolean): void;
  comm(message: CommMessage): void;
  /** An error that nothing in the cell caught. */
  fail(error: unknown): void;
  /** Calls back when the cell is interrupted; returns the way to stop that. */
  onStop(listener: () => void): () => void;
  stop(): void;
}

const storage = new AsyncLocalStorage<CellContext | undefined>();
let latest: CellContext | undefined;

/** The cell that the running code belongs to. */
export const currentCell = (): CellContext | undefined => storage.getStore();

/** The cell that ran last, for output whose origin is not known. */
export const latestCell = (): CellContext | undefined => latest;

/** Run `call` as part of a cell. */
export function inCell<T>(context: CellContext, call: () => T): T {
  latest = context;
  return storage.run(context, call);
}

/** Run `call` as part of the program around the cells. */
export const outsideCells = <T>(call: () => T): T => storage.run(undefined, call);

/** Thrown into a cell that is stopped. */
export class Interrupted extends Error {
  override readonly name = 'Interrupted';
  constructor() {
    super('The cell was stopped. Variables keep the values they have.');
  }
}

/** What `await` in a cell waits for: `value`, or the cell being stopped. */
export function waitInCell<T>(value: T | PromiseLike<T>): T | PromiseLike<T> {
  const context = currentCell();
  if (!context) return value;
  if (context.stopped) throw new Interrupted();
  if (typeof (value as PromiseLike<T> | null)?.then !== 'function') return value;
  return new Promise<T>((done, fail) => {
    const forget = context.onStop(() => fail(new Interrupted()));
    (value as PromiseLike<T>).then(
      (settled) => {
        forget();
        done(settled);
      },
      (error) => {
        forget();
        fail(error);
      },
    );
  });
}
