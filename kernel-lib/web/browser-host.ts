import type { Host, ModuleLoader } from '../cells/host';
import * as library from '../index';
import type { AnySheet } from '../questions/sheet';
import { PrintedConsole } from './printed-console';
import { askPromise, inspectSettled } from './settled-promises';

/** Calls back from the event loop, in order, with nothing else on the stack. */
function createCallbacks(): (call: () => void) => void {
  const { port1, port2 } = new MessageChannel();
  const calls: (() => void)[] = [];
  port1.onmessage = () => calls.shift()?.();
  return (call) => {
    calls.push(call);
    port2.postMessage(0);
  };
}

/**
 * Evaluates text under a name that stacks have. Where an engine leaves the names of evaluated texts out of its stacks,
 * as JavaScriptCore does, and their lines with them, a text is loaded as a script, which stacks call by its address.
 */
function createEvaluate(): Pick<Host, 'evaluate' | 'namedStack'> {
  // biome-ignore lint/security/noGlobalEval: to run what students type is what this worker is for; it reaches nothing
  const evaluate = globalThis.eval;
  const named = (text: string, name: string): unknown => evaluate(`${text}\n//# sourceURL=${name}`);
  const probe = named('new Error()', 'cell:0:0') as Error;
  if (probe.stack?.includes('cell:0:0'))
    return { evaluate: (head, text, name) => named(`${head}\n${text}`, name) };

  const { importScripts, Blob, URL } = globalThis as typeof globalThis & {
    importScripts(address: string): void;
  };
  const { createObjectURL, revokeObjectURL } = URL;
  const place = `${Math.random()}`;
  const here = globalThis as unknown as Record<string, unknown>;
  const names = new Map<string, string>();
  return {
    evaluate(head, text, name) {
      const script = `globalThis['${place}'] = ${head}\n${text}`;
      const address = createObjectURL(new Blob([script], { type: 'text/javascript' }));
      names.set(address, name);
      try {
        importScripts(address);
        return here[place];
      } finally {
        delete here[place];
        revokeObjectURL(address);
      }
    },
    namedStack: (stack) =>
      stack.replace(/blob:[^\s@]*?(?=:\d+:\d+$)/gm, (address) => names.get(address) ?? address),
  };
}

/** WebKit lets even an origin that nothing else has keep files (Cache). Cells keep nothing: it is taken away. */
function takeCachesAway(): void {
  for (let at: object | null = globalThis; at; at = Object.getPrototypeOf(at))
    Reflect.deleteProperty(at, 'caches');
}

/** The library as CommonJS gives it, which Node's cells see. */
const asModule = Object.defineProperties(Object.create(null) as object, {
  ...Object.getOwnPropertyDescriptors({ ...library }),
  __esModule: { value: true },
}) as typeof library;

/** Nothing but the library can be had: no files, no packages. */
function loader(_cwd: string, _sideFiles: unknown, names: () => unknown): ModuleLoader {
  const find = (specifier: string) => {
    if (specifier === 'multislit') return names();
    throw new Error(
      `'${specifier}' cannot be had in the browser: cells import 'multislit' and nothing else there. Files and packages are for the program that runs on Node.`,
    );
  };
  const require = find as NodeJS.Require;
  return { require, mustWait: () => false, import: async (specifier) => find(specifier) };
}

/** What a sheet's program, as the build makes it, exports. */
function sheetOf(program: string, name: string): AnySheet {
  const module = { exports: {} as { default?: AnySheet } };
  const run = new Function(
    'module',
    'exports',
    'require',
    `${program}\n//# sourceURL=sheet:${name}`,
  );
  run(module, module.exports, () => asModule);
  if (!module.exports.default) throw new Error(`The program of the sheet ${name} is damaged.`);
  return module.exports.default;
}

/**
 * The browser as what cells run in: a worker that reaches nothing. Made before any cell runs.
 *
 * @param programs of the sheets, by name
 * @param tick what cells call in every loop and function
 * @param beside the files beside the notebook, by name; it grows as the page brings them
 */
export function browserHost(
  programs: Readonly<Record<string, string>>,
  bench: string,
  tick: () => void,
  beside: ReadonlyMap<string, Uint8Array>,
): Host {
  const { addEventListener, setTimeout } = globalThis;
  const callback = createCallbacks();
  takeCachesAway();
  const sheets = new Map<string, AnySheet>();
  return {
    // The head on a line of its own: what a script is called in stacks comes with its lines, not with its columns.
    headLines: 1,
    ...createEvaluate(),
    loader,
    library: () => asModule,
    inspect: inspectSettled,
    beforeInspect: askPromise,
    console: (write, clear) => new PrintedConsole(write, clear) as unknown as Console,
    sheets: {
      find(name) {
        if (!Object.hasOwn(programs, name)) return undefined;
        const sheet = sheets.get(name) ?? sheetOf(programs[name], name);
        sheets.set(name, sheet);
        return sheet;
      },
      names: () => Object.keys(programs).sort(),
    },
    beside: {
      find: (name) => beside.get(name),
      names: () => [...beside.keys()],
    },
    benchScript: () => bench,
    callback,
    // Rejections are told in a task of their own, which stands in line before this timer comes back.
    whenSettled: (call) => void setTimeout(() => callback(call)),
    tick,
    guard({ uncaught }) {
      addEventListener('error', (event) => {
        if (uncaught((event as ErrorEvent).error)) event.preventDefault();
      });
      addEventListener('unhandledrejection', (event) => {
        if (uncaught((event as PromiseRejectionEvent).reason)) event.preventDefault();
      });
    },
  };
}
