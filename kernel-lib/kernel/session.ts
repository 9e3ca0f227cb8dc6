import type { CommMessage } from '../display/comm';
import { cellConsole } from './cell-console';
import {
  type CellContext,
  currentCell,
  Interrupted,
  inCell,
  outsideCells,
  waitInCell,
} from './cell-context';
import { diagnosticsError, type RanCell, runtimeError, scriptName } from './cell-errors';
import { type CellConverter, type Conversion, createCellConverter } from './converter';
import { installGuards } from './guards';
import { createModules } from './modules';
import { type CellError, createOutput, type Output } from './output';
import { type CellResult, runScript } from './run-script';
import { valueBundle } from './value-bundle';

export interface SessionOptions {
  /** Where cells look for files and packages; this process's folder unless given. */
  cwd?: string;
  /** Everything that cells bring forth. `tag` is what the run was given, also for output after its end. */
  onOutput(output: Output, tag: unknown): void;
  /** Comm messages that cells send; without this they lead nowhere. */
  onComm?(message: CommMessage, tag: unknown): void;
  /** A converter for the same folder to share; one of its own unless given. */
  converter?: CellConverter;
  /** SIGINT stops the running cell, not the process. */
  stopOnSignal?: boolean;
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
  /** Run a cell after those before it. Resolves whatever the cell does; it never rejects. */
  run(source: string, options?: RunOptions): Promise<RunResult>;
  /** Stop the running cell. Variables keep their values. */
  interrupt(): void;
  /** Call `call` as something that belongs to `tag`: what it shows goes there. */
  within(tag: unknown, call: () => void): void;
  readonly converter: CellConverter;
  /** All that is declared so far, as the text of a declaration file. */
  readonly declarations: string;
}

let sessions = 0;
const turn = () => new Promise<void>((done) => setImmediate(done));

export function createSession(options: SessionOptions): Session {
  installGuards();
  sessions += 1;
  const id = sessions;
  const cwd = options.cwd ?? process.cwd();
  const converter = options.converter ?? createCellConverter(cwd);
  const modules = createModules(cwd, converter.sideFiles);
  const variables: Record<string, unknown> = {};
  const ran = new Map<string, RanCell>();
  const find = (script: string) => ran.get(script);
  const console = cellConsole(() => currentCell());
  let declarations = '';
  let executionCount = 0;
  let cellCount = 0;
  let current: { context: CellContext; settle(error: unknown): void } | undefined;
  let queue: Promise<unknown> = Promise.resolve();

  function createContext(tag: unknown, silent: boolean, settle?: (error: unknown) => void) {
    const output = createOutput((one) => {
      if (!silent) outsideCells(() => options.onOutput(one, tag));
    });
    const stops = new Set<() => void>();
    let stopped = false;
    let ended = settle === undefined;
    const context: CellContext = {
      get stopped() {
        return stopped;
      },
      write: output.write,
      show: output.show,
      clear: output.clear,
      comm: (message) => outsideCells(() => options.onComm?.(message, tag)),
      fail(error) {
        if (!ended) settle?.(error);
        else output.send({ type: 'error', ...runtimeError(error, undefined, find) });
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
    const end = () => {
      ended = true;
    };
    return { context, output, end };
  }

  /** Keep what a cell declared when it failed, if it got as far as setting all of it. */
  function keepAfterFailure(conversion: Conversion, before: Map<string, unknown>): void {
    const names = conversion.code?.names ?? [];
    if (names.every((name) => name in variables)) {
      declarations = conversion.declarations;
      return;
    }
    for (const [name, value] of before) variables[name] = value;
  }

  async function runOne(
    source: string,
    { tag, silent = false, counted = !silent }: RunOptions,
  ): Promise<RunResult> {
    if (counted) executionCount += 1;
    const count = executionCount;
    cellCount += 1;
    const filename = scriptName(id, cellCount);
    let conversion: Conversion | undefined;
    let before: Map<string, unknown> | undefined;
    let settle: (outcome: { result: CellResult } | { error: unknown }) => void = () => {};
    const settled = new Promise<{ result: CellResult } | { error: unknown }>((done) => {
      settle = done;
    });
    const { context, output, end } = createContext(tag, silent, (error) => settle({ error }));
    current = { context, settle: (error) => settle({ error }) };

    function start(): void {
      conversion = converter.convert(declarations, source);
      const { code } = conversion;
      if (!code) {
        settle({ error: diagnosticsError(conversion.diagnostics, source) });
        return;
      }
      ran.set(filename, { source, code, count });
      const loading = modules.load(code.modules);
      if (loading) loading.then(() => body(code), context.fail);
      else body(code);
    }

    function body(code: NonNullable<Conversion['code']>): void {
      before = new Map(code.names.filter((n) => n in variables).map((n) => [n, variables[n]]));
      const { from, dynamic, require } = modules;
      const frame = { variables, from, dynamic, wait: waitInCell, require, console };
      const { stopOnSignal = false } = options;
      const result = runScript(code, frame, { filename, stopOnSignal });
      if (result instanceof Promise) result.then((done) => settle({ result: done }), context.fail);
      else settle({ result });
    }

    // In a callback of its own: an interrupt may cut it off without a word, and only it.
    setImmediate(() =>
      inCell(context, () => {
        try {
          start();
        } catch (error) {
          context.fail(interruptedBySignal(error) ? new Interrupted() : error);
        }
      }),
    );

    let outcome = await settled;
    if ('result' in outcome) {
      // Rejections that nothing handles show after the cell's own code.
      const late = new Promise<{ error: unknown }>((done) => {
        settle = done as typeof settle;
      });
      outcome = await Promise.race([late, turn().then(() => outcome)]);
    }
    current = undefined;
    end();
    if ('error' in outcome) {
      if (conversion?.code && before) keepAfterFailure(conversion, before);
      const known = outcome.error as Partial<CellError> | null;
      const isKnown = conversion && !conversion.code && known?.ename !== undefined;
      const error = isKnown
        ? (known as CellError)
        : runtimeError(outcome.error, ran.get(filename), find);
      output.send({ type: 'error', ...error });
      return { status: 'error', executionCount: count, error };
    }
    declarations = conversion?.declarations ?? declarations;
    return finish(outcome.result, count, output);
  }

  function finish(
    result: CellResult,
    count: number,
    output: ReturnType<typeof createOutput>,
  ): RunResult {
    const value = result?.[0];
    if (value === undefined) {
      output.flush();
      return { status: 'ok', executionCount: count };
    }
    try {
      const data = valueBundle(value);
      output.send({ type: 'execute_result', data, metadata: {}, executionCount: count });
      return { status: 'ok', executionCount: count, value };
    } catch (error) {
      const shown = runtimeError(error, undefined, find);
      output.send({ type: 'error', ...shown });
      return { status: 'error', executionCount: count, error: shown };
    }
  }

  return {
    converter,
    get executionCount() {
      return executionCount;
    },
    get declarations() {
      return declarations;
    },
    run(source, options = {}) {
      const result = queue.then(() => runOne(source, options));
      queue = result;
      return result;
    },
    interrupt() {
      current?.context.stop();
      current?.settle(new Interrupted());
    },
    within(tag, call) {
      const { context } = createContext(tag, false);
      inCell(context, () => {
        try {
          call();
        } catch (error) {
          context.fail(error);
        }
      });
    },
  };
}

function interruptedBySignal(error: unknown): boolean {
  return (error as NodeJS.ErrnoException | null)?.code === 'ERR_SCRIPT_EXECUTION_INTERRUPTED';
}
