import { StringDecoder } from 'node:string_decoder';
import { promisify } from 'node:util';
import {
  type CellContext,
  currentCell,
  inCell,
  isInterrupted,
  latestCell,
  runningCell,
} from './cell-context';
import { cellByScript } from './cell-scripts';
import { emittedFrames, installCellStacks } from './cell-stack';
import { guardChildren } from './child-output';
import { attempt, headingOf } from './describe-thrown';

/** Thrown by `process.exit()` and its like in a cell. */
export class ExitError extends Error {
  override readonly name = 'ExitError';
  constructor(call: string) {
    super(
      `${call} was called in a cell. It would end the kernel and lose every variable; restart the kernel instead.`,
    );
  }
}

let installed = false;
let callbackOf: CellContext | undefined;

/** The cell whose timer callback was cut off, if one was. */
export function takeCallbackCell(): CellContext | undefined {
  const cell = callbackOf;
  callbackOf = undefined;
  return cell;
}

/** Make this process safe for cells: what a cell prints, ends or leaves unhandled comes back to that cell. */
export function installGuards(): void {
  if (installed) return;
  installed = true;
  installCellStacks();
  guardStreams();
  guardChildren();
  guardExit();
  guardTimers();
  process.on('unhandledRejection', (reason) => uncaught(reason));
  process.on('uncaughtException', (error) => uncaught(error));
}

/** The cell that an error comes from, by its stack: the outermost one, which called the others. */
function cellOf(error: unknown): CellContext | undefined {
  const script = emittedFrames(error).at(-1)?.script;
  return script === undefined ? undefined : cellByScript(script)?.context;
}

/** Files of this program, in a stack. */
const ownFiles = /[\\/](?:\.build|kernel-lib)[\\/]/;

function uncaught(error: unknown): void {
  if (isInterrupted(error)) return;
  const stack = attempt(() => (error as Error).stack, undefined);
  const isOwn = typeof stack === 'string' && ownFiles.test(stack);
  const cell = cellOf(error) ?? currentCell() ?? (isOwn ? undefined : latestCell());
  if (cell) {
    cell.fail(error);
    return;
  }
  // Not from a cell: a fault of the program around it, so end as Node itself would.
  process.stderr.write(`${typeof stack === 'string' ? stack : headingOf(error)}\n`);
  process.exit(1);
}

/** A character may come in pieces, by several writes. */
const decoders = new WeakMap<CellContext, Map<string, StringDecoder>>();

function decoded(cell: CellContext, name: string, chunk: Uint8Array): string {
  const own = decoders.get(cell) ?? new Map<string, StringDecoder>();
  decoders.set(cell, own);
  const decoder = own.get(name) ?? new StringDecoder('utf8');
  own.set(name, decoder);
  return decoder.write(Buffer.from(chunk));
}

function guardStreams(): void {
  for (const name of ['stdout', 'stderr'] as const) {
    const stream = process[name];
    const write = stream.write.bind(stream) as (...args: unknown[]) => boolean;
    stream.write = ((chunk: string | Uint8Array, ...rest: unknown[]) => {
      const cell = currentCell();
      if (!cell) return write(chunk, ...rest);
      const [encoding] = rest;
      const isText = typeof chunk === 'string';
      const isPlain = typeof encoding !== 'string' || /^utf-?8$/i.test(encoding);
      const bytes = isText
        ? isPlain
          ? new Uint8Array()
          : Buffer.from(chunk, encoding as BufferEncoding)
        : chunk;
      cell.write(name, isText && isPlain ? chunk : decoded(cell, name, bytes as Uint8Array));
      const callback = rest.find((part) => typeof part === 'function') as (() => void) | undefined;
      if (callback) process.nextTick(callback);
      return true;
    }) as typeof stream.write;
  }
}

function guardExit(): void {
  const exit = process.exit.bind(process);
  const abort = process.abort.bind(process);
  process.exit = ((code?: number) => {
    if (currentCell()) throw new ExitError(`process.exit(${code ?? ''})`);
    return exit(code);
  }) as typeof process.exit;
  process.abort = () => {
    if (currentCell()) throw new ExitError('process.abort()');
    return abort();
  };
}

type Timer = (callback: (...args: unknown[]) => void, ...rest: unknown[]) => unknown;

/** Timers of a stopped cell do nothing more; what they throw is the cell's error. */
function guardTimers(): void {
  const { setTimeout, setInterval, setImmediate, clearImmediate } = globalThis;
  const guard = (name: string, plain: Timer, original: Timer) => {
    const guarded: Timer = (callback, ...rest) => {
      const cell = runningCell();
      if (!cell || typeof callback !== 'function') return plain(callback, ...rest);
      const timer = original(
        (...args) => {
          if (cell.stopped) {
            clearInterval(timer as NodeJS.Timeout);
            return;
          }
          callbackOf = cell;
          try {
            inCell(cell, () => callback(...args));
          } catch (error) {
            cell.fail(error);
          }
          callbackOf = undefined;
        },
        ...rest,
      );
      return timer;
    };
    const promised = (plain as { [promisify.custom]?: unknown })[promisify.custom];
    if (promised) Object.defineProperty(guarded, promisify.custom, { value: promised });
    Object.defineProperty(guarded, 'name', { value: name });
    (globalThis as Record<string, unknown>)[name] = guarded;
  };
  guard('setTimeout', setTimeout as Timer, setTimeout as Timer);
  guard('setInterval', setInterval as Timer, setInterval as Timer);
  // As a timer: an immediate that is cut off leaves Node calling its queue for ever.
  guard('setImmediate', setImmediate as Timer, (callback, ...args) =>
    (setTimeout as Timer)(callback, 0, ...args),
  );
  globalThis.clearImmediate = (immediate) => {
    clearTimeout(immediate as unknown as NodeJS.Timeout);
    clearImmediate(immediate);
  };
}
