import { Console } from 'node:console';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import Module, { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { Writable } from 'node:stream';
import { StringDecoder } from 'node:string_decoder';
import { setImmediate } from 'node:timers';
import { inspect, types } from 'node:util';
import vm from 'node:vm';
import { MessageChannel } from 'node:worker_threads';
import type { Host, ModuleLoader, StreamName } from '../cells/host';
import { Interrupted } from '../cells/run/cell-context';
import { createRuntime, type Runtime } from '../cells/run/runtime';
import { once } from '../numerics/once';
import { isBesideName } from '../travels/files-beside';
import { built, library } from './home';
import { guardChildren } from './processes';
import { findSheet, sheetNames } from './sheets';

/** Thrown by `process.exit()` and its like in a cell. */
export class ExitError extends Error {
  override readonly name = 'ExitError';
  constructor(call: string) {
    super(
      `${call} was called in a cell. It would end the kernel and lose every variable; restart the kernel instead.`,
    );
  }
}

/**
 * Calls back from the event loop, with nothing else on the stack. Unlike Node's timers and immediates, what is left
 * is in order when a call is cut off in the middle: an immediate that is cut off leaves Node calling its queue for
 * ever.
 */
function createCallbacks(): (call: () => void) => void {
  const { port1, port2 } = new MessageChannel();
  const calls: (() => void)[] = [];
  port1.on('message', () => {
    const call = calls.shift();
    if (calls.length === 0) port1.unref();
    call?.();
  });
  port1.unref();
  return (call) => {
    // In this order: cut off in between, a message finds no call, which is better than a call that waits for the
    // message of another.
    port1.ref();
    port2.postMessage(0);
    calls.push(call);
  };
}

/** Calls that the engine cuts off. Made before any cell runs: none can put its own in this place. */
function createInTime(): NonNullable<Host['inTime']> {
  let next: () => unknown = () => undefined;
  Object.defineProperty(globalThis, Symbol.for('multislit.call'), { get: () => next });
  const runner = new vm.Script(`globalThis[Symbol.for('multislit.call')]()`, {
    filename: 'multislit',
  });
  return (call, timeout) => {
    next = call;
    try {
      return runner.runInThisContext({ timeout });
    } catch (error) {
      // A look that runs none of a cell's code.
      const code =
        types.isNativeError(error) && Object.getOwnPropertyDescriptor(error, 'code')?.value;
      throw code === 'ERR_SCRIPT_EXECUTION_TIMEOUT' ? new Interrupted() : error;
    }
  };
}

const slashed = (path: string) => path.replaceAll('\\', '/');
const isOwnFile = (specifier: string) => /^\.\.?\//.test(specifier);

/** Finds modules as a file in the notebook's folder would. */
function loader(
  cwd: string,
  sideFiles: ReadonlyMap<string, string>,
  library: () => unknown,
): ModuleLoader {
  const sides = new Map<string, { text: string; module: Module }>();
  const base = createRequire(join(cwd, 'cell.js'));
  const importFromHere: (specifier: string) => Promise<unknown> = vm.runInThisContext(
    '(specifier) => import(specifier)',
    {
      filename: join(cwd, 'cell.js'),
      importModuleDynamically: vm.constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
    },
  );

  function sideFile(specifier: string, folder: string): Module | undefined {
    if (!isOwnFile(specifier)) return undefined;
    const path = slashed(resolve(folder, specifier)).replace(/\.(ts|js)$/, '');
    const file = `${path}.js`;
    const text = sideFiles.get(file);
    if (text === undefined) return undefined;
    const before = sides.get(file);
    if (before?.text === text) return before.module;
    const module = new Module(file) as Module & { _compile(code: string, file: string): void };
    module.filename = file;
    module.require = requireFrom(dirname(file), createRequire(file));
    sides.set(file, { text, module });
    module._compile(text, file);
    return module;
  }

  function requireFrom(folder: string, plain: NodeJS.Require): NodeJS.Require {
    const find = (specifier: string) => {
      if (specifier === 'multislit') return library();
      // Data that was changed is read again, like source.
      if (isOwnFile(specifier) && specifier.endsWith('.json'))
        delete plain.cache[plain.resolve(specifier)];
      return sideFile(specifier, folder)?.exports ?? plain(specifier);
    };
    return Object.assign(find, plain);
  }

  return {
    require: requireFrom(cwd, base),
    mustWait: (error) =>
      /^ERR_(REQUIRE_ESM|REQUIRE_ASYNC_MODULE|PACKAGE_PATH_NOT_EXPORTED)$/.test(
        (error as NodeJS.ErrnoException).code ?? '',
      ),
    import: importFromHere,
  };
}

/** A file in the folder that this process works in: the notebook's, as for `readFileSync` with a bare name. */
function findBeside(name: string): Uint8Array | undefined {
  const path = join(process.cwd(), name);
  // What Node's permission flags hide is not there either.
  try {
    return statSync(path).isFile() ? readFileSync(path) : undefined;
  } catch {
    return undefined;
  }
}

function namesBeside(): readonly string[] {
  try {
    return readdirSync(process.cwd()).filter(isBesideName);
  } catch {
    return [];
  }
}

/** Never coloured: what is printed is kept in notebooks. */
function cellConsole(write: (name: StreamName, text: string) => void, clear: () => void): Console {
  const stream = (name: StreamName) => {
    const target = new Writable();
    target.write = ((text: string) => {
      write(name, text);
      return true;
    }) as typeof target.write;
    return target;
  };
  const console = new Console({
    stdout: stream('stdout'),
    stderr: stream('stderr'),
    ignoreErrors: false,
    colorMode: false,
  });
  console.clear = clear;
  return console;
}

/** The bench's own program, for `live` to send. Undefined before the first build. */
export const benchScript = once(() => {
  const file = built('bench-cell.js');
  return existsSync(file) ? readFileSync(file, 'utf8') : undefined;
});

type Tell = Parameters<Host['guard']>[0];

function guard({ uncaught, cell }: Tell): void {
  guardStreams(cell);
  guardChildren(cell);
  guardExit(cell);
  const end = (error: unknown) => {
    if (uncaught(error)) return;
    // Not from a cell: a fault of the program around it, so end as Node itself would.
    const stack = types.isNativeError(error) ? error.stack : undefined;
    process.stderr.write(`${stack ?? inspect(error)}\n`);
    process.exit(1);
  };
  process.on('unhandledRejection', end);
  process.on('uncaughtException', end);
}

function guardStreams(current: Tell['cell']): void {
  /** A character may come in pieces, by several writes. */
  const decoders = new WeakMap<object, Map<string, StringDecoder>>();
  const decoded = (cell: object, name: string, chunk: Uint8Array): string => {
    const own = decoders.get(cell) ?? new Map<string, StringDecoder>();
    decoders.set(cell, own);
    const decoder = own.get(name) ?? new StringDecoder('utf8');
    own.set(name, decoder);
    return decoder.write(Buffer.from(chunk));
  };
  for (const name of ['stdout', 'stderr'] as const) {
    const stream = process[name];
    const write = stream.write.bind(stream) as (...args: unknown[]) => boolean;
    stream.write = ((chunk: string | Uint8Array, ...rest: unknown[]) => {
      const cell = current();
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

function guardExit(current: Tell['cell']): void {
  const exit = process.exit.bind(process);
  const abort = process.abort.bind(process);
  process.exit = ((code?: number) => {
    if (current()) throw new ExitError(`process.exit(${code ?? ''})`);
    return exit(code);
  }) as typeof process.exit;
  process.abort = () => {
    if (current()) throw new ExitError('process.abort()');
    return abort();
  };
}

/** @param limited whether cells can be given a time after which they are cut off */
export function nodeHost({ limited = false } = {}): Host {
  return {
    evaluate(head, text, name) {
      const script = new vm.Script(head + text, { filename: name, columnOffset: -head.length });
      return script.runInThisContext();
    },
    loader,
    library,
    inspect,
    console: cellConsole,
    sheets: { find: findSheet, names: sheetNames },
    beside: { find: findBeside, names: namesBeside },
    benchScript,
    callback: createCallbacks(),
    whenSettled: (call) => void setImmediate(call),
    onIdle(call) {
      process.once('beforeExit', call);
      return () => process.off('beforeExit', call);
    },
    ...(limited ? { inTime: createInTime() } : {}),
    guard,
  };
}

let runtime: Runtime | undefined;

/** The runtime of this process. */
export function nodeRuntime(): Runtime {
  runtime ??= createRuntime(nodeHost());
  return runtime;
}
