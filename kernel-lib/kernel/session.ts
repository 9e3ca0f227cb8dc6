import { setImmediate } from 'node:timers';
import type { CommMessage } from '../display/comm';
import { cellConsole } from './cell-console';
import { attend, type CellContext, currentCell, Interrupted, inCell } from './cell-context';
import { diagnosticsError, runtimeError } from './cell-errors';
import { forgetCells, noteCell, type RanCell } from './cell-scripts';
import { type CellConverter, type Conversion, createCellConverter } from './converter';
import { createContext, type OwnedContext } from './create-context';
import { declarationsSoFar } from './declarations';
import { type CellCode, placeInCell } from './emit';
import { installGuards } from './guards';
import { createModules } from './modules';
import type { CellError, Output } from './output';
import { type CellResult, runScript } from './run-script';
import { soon } from './soon';
import { isShown, valueBundle } from './value-bundle';

export interface SessionOptions {
  /** Where cells look for files and packages; this process's folder unless given. */
  cwd?: string;
  /** Everything that cells bring forth. `tag` is what the run was given, also for output after its end. */
  onOutput(output: Output, tag: unknown): void;
  /** Comm messages that cells send; without this they lead nowhere. */
  onComm?(message: CommMessage, tag: unknown): void;
  /** Asks the person at the screen for a cell; without this nobody is there. */
  onAsk?(question: string, tag: unknown): Promise<string>;
  /** A converter for the same folder to share; one of its own unless given. */
  converter?: CellConverter;
}

export interface RunOptions {
  /** Comes back with each output of this run. */
  tag?: unknown;
  /** Show nothing and count nothing. */
  silent?: boolean;
  /** Whether the run gets a number of its own; unless silent it does. */
  counted?: boolean;
}

export interface RunResult {
  readonly status: 'ok' | 'error';
  readonly executionCount: number;
  readonly error?: CellError;
  /** The last expression's value, as it is. */
  readonly value?: unknown;
}

/** Cells of one notebook, run in order, sharing their variables. */
export interface Session {
  readonly executionCount: number;
  readonly converter: CellConverter;
  /** All that is declared so far, as the text of a declaration file. */
  readonly declarations: string;
  /** Run a cell after those before it. Resolves whatever the cell does; it never rejects. */
  run(source: string, options?: RunOptions): Promise<RunResult>;
  /** Stop the running cell. Variables keep their values. */
  interrupt(): void;
  /** Call `call` as something that belongs to `tag`: what it shows goes there. */
  within(tag: unknown, call: () => void): void;
  /** Let go of what was kept for error messages. */
  close(): void;
}

/** How a cell's code ended. */
type Outcome = { result: CellResult } | { error: unknown } | { diagnosed: CellError };

let sessions = 0;

/** Where nothing else keeps the process alive, an endless wait would end it without a word. */
class EndlessWait extends Error {
  override readonly name = 'EndlessWait';
  constructor() {
    super(
      'The cell waits for something that never comes: nothing is left that could end the wait.',
    );
  }
}

const turn = () => new Promise<void>((done) => setImmediate(done));

export function createSession(options: SessionOptions): Session {
  installGuards();
  sessions += 1;
  const id = sessions;
  const cwd = options.cwd ?? process.cwd();
  const converter = options.converter ?? createCellConverter(cwd);
  const modules = createModules(cwd, converter.sideFiles);
  const variables: Record<string, unknown> = {};
  let declarations = '';
  let executionCount = 0;
  let latest: CellContext | undefined;
  const console = cellConsole(() => currentCell() ?? latest);
  let current: { context: CellContext; settle(outcome: Outcome): void } | undefined;
  let queue: Promise<unknown> = Promise.resolve();

  const contextFor = (tag: unknown, silent: boolean, fail?: (error: unknown) => void) =>
    createContext({
      output: (output) => silent || options.onOutput(output, tag),
      comm: (message) => options.onComm?.(message, tag),
      ask: options.onAsk && ((question) => options.onAsk!(question, tag)),
      fail,
    });

  /** A cell that failed keeps what it set before. */
  function afterFailure({ code, declarations: after }: Conversion, before: Map<string, unknown>) {
    const own = new Set(code?.names);
    const isSet = (name: string) =>
      !own.has(name) ||
      (name in variables && !(before.has(name) && Object.is(before.get(name), variables[name])));
    declarations = declarationsSoFar(declarations, after, isSet);
  }

  async function runOne(
    source: string,
    { tag, silent = false, counted = !silent }: RunOptions,
  ): Promise<RunResult> {
    if (counted) executionCount += 1;
    const count = executionCount;
    let before: Map<string, unknown> | undefined;
    let conversion: Conversion | undefined;
    let cell: RanCell | undefined;
    let settle: (outcome: Outcome) => void = () => {};
    const settled = new Promise<Outcome>((done) => {
      settle = done;
    });
    const owned = contextFor(tag, silent, (error) => settle({ error }));
    const { context } = owned;
    current = { context, settle: (outcome) => settle(outcome) };
    latest = context;

    function start(): void {
      conversion = converter.convert(declarations, source);
      const { code } = conversion;
      if (!code) {
        settle({ diagnosed: diagnosticsError(conversion.diagnostics, source) });
        return;
      }
      cell = { source, count, context, place: (emitted) => placeInCell(code, emitted) };
      const script = noteCell(id, cell);
      const loading = modules.load(code.modules);
      if (!loading) run(code, script);
      else loading.then(() => inCell(context, () => run(code, script))).catch(context.fail);
    }

    function run(code: CellCode, filename: string): void {
      const known = code.names.filter((name) => name in variables);
      before = new Map(known.map((name) => [name, variables[name]]));
      const { from, dynamic, require } = modules;
      const frame = { variables, from, dynamic, require, console };
      const result = runScript(code, frame, filename);
      if (result instanceof Promise) result.then((done) => settle({ result: done }), context.fail);
      else settle({ result });
    }

    attend(context);
    const stuck = () => settle({ error: new EndlessWait() });
    process.once('beforeExit', stuck);
    // In a callback of its own: an interrupt may cut it off without a word, and only it.
    soon(() =>
      inCell(context, () => {
        try {
          start();
        } catch (error) {
          context.fail(error);
        }
      }),
    );

    let outcome = await settled;
    if ('result' in outcome) {
      // Rejections that nothing handles show after the cell's own code.
      const late = new Promise<Outcome>((done) => {
        settle = done;
      });
      outcome = await Promise.race([late, turn().then(() => outcome)]);
    }
    attend(undefined);
    process.off('beforeExit', stuck);
    current = undefined;
    owned.end();
    if ('result' in outcome) {
      declarations = conversion?.declarations ?? declarations;
      return finish(outcome.result, count, owned, cell);
    }
    if (conversion && before) afterFailure(conversion, before);
    if ('diagnosed' in outcome) return failed(outcome.diagnosed, count, owned);
    return describe(outcome.error, count, owned, cell);
  }

  async function describe(
    error: unknown,
    count: number,
    owned: OwnedContext,
    cell: RanCell | undefined,
  ): Promise<RunResult> {
    const looked = await lookAt(owned, () => runtimeError(error, cell));
    // Only an interrupt ends that.
    const described = 'found' in looked ? looked.found : runtimeError(looked.thrown, cell);
    return failed(described, count, owned);
  }

  /** Look at something of a cell's in a callback of its own: looking may run its code, and be interrupted. */
  async function lookAt<T>(
    { context }: OwnedContext,
    look: () => T,
  ): Promise<{ found: T } | { thrown: unknown }> {
    const seen = await new Promise<{ found: T } | { thrown: unknown }>((done) => {
      current = { context, settle: () => done({ thrown: new Interrupted() }) };
      soon(() =>
        inCell(context, () => {
          try {
            done({ found: look() });
          } catch (thrown) {
            done({ thrown });
          }
        }),
      );
    });
    current = undefined;
    return seen;
  }

  function failed(error: CellError, executionCount: number, { output }: OwnedContext): RunResult {
    output.send({ type: 'error', ...error });
    return { status: 'error', executionCount, error };
  }

  async function finish(
    result: CellResult,
    executionCount: number,
    owned: OwnedContext,
    cell: RanCell | undefined,
  ): Promise<RunResult> {
    const value = result?.[0];
    owned.output.flush();
    if (!isShown(value)) return { status: 'ok', executionCount };
    const looked = await lookAt(owned, () => valueBundle(value));
    if ('thrown' in looked) return describe(looked.thrown, executionCount, owned, cell);
    const data = looked.found;
    owned.output.send({ type: 'execute_result', data, metadata: {}, executionCount });
    return { status: 'ok', executionCount, value };
  }

  return {
    converter,
    get executionCount() {
      return executionCount;
    },
    get declarations() {
      return declarations;
    },
    run(source, runOptions = {}) {
      const result = queue.then(() => runOne(source, runOptions));
      // Whatever became of this one, the next has its turn.
      queue = result.catch(() => {});
      return result;
    },
    interrupt() {
      if (!current) return;
      const { context, settle } = current;
      settle({ error: new Interrupted() });
      // In a callback of its own: code that catches the end of its wait may go on into a loop, and only a cut ends that.
      soon(() => context.stop());
    },
    within(tag, call) {
      const { context } = contextFor(tag, false);
      inCell(context, () => {
        try {
          call();
        } catch (error) {
          context.fail(error);
        }
      });
    },
    close() {
      forgetCells(id);
    },
  };
}
