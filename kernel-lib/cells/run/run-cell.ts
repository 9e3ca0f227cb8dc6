import { type CellCode, given } from '../cell-code';
import { type CellContext, Interrupted, type OwnedContext } from './cell-context';
import type { RanCell } from './cell-errors';
import { createModules } from './modules';
import type { Runtime } from './runtime';

/** `[value]` of the last expression, or nothing. */
export type CellResult = readonly [unknown] | undefined;

/** A cell that is ready to run. */
export interface ReadyCell extends Omit<RanCell, 'context'> {
  readonly code: Pick<CellCode, 'text' | 'modules' | 'isAsync'>;
}

/** How a run ended. */
export interface Ran {
  /** What came of it; nothing where there was no cell to run. */
  readonly outcome?: { readonly result: CellResult } | { readonly thrown: unknown };
  /** The name of its script in stacks, once it has one. */
  readonly script?: string;
  /** For the lines of its errors, likewise. */
  readonly cell?: RanCell;
  /** Whether its code was begun. */
  readonly began: boolean;
}

type Ended = NonNullable<Ran['outcome']> | 'nothing';

export interface RunnerOptions {
  readonly cwd: string;
  /** Emitted JavaScript of the source files beside the notebook, by path; it may grow. */
  readonly sideFiles: ReadonlyMap<string, string>;
  /** Longest time for one cell, ms; without one it runs until it ends or is interrupted. */
  readonly timeLimit?: number;
  /** The cell that `console` prints to: the one at work, unless given. */
  readonly printsTo?: () => CellContext | undefined;
}

/** Runs emitted cells, one at a time, which share their variables. The same in kernel, browser and marker. */
export interface CellRunner {
  readonly variables: Record<string, unknown>;
  /**
   * Run a cell in its context. Resolves whatever it does.
   *
   * @param prepare gives the cell, called as a part of it; nothing where it does not convert
   */
  run(owned: OwnedContext, prepare: () => ReadyCell | Promise<ReadyCell | undefined>): Promise<Ran>;
  /** Look at something of a cell's in a callback of its own: looking may run its code, and be interrupted. */
  look<T>(
    { context }: OwnedContext,
    look: () => T,
  ): Promise<{ readonly found: T } | { readonly thrown: unknown }>;
  /** Stop what runs. Variables keep their values. */
  interrupt(): void;
  /** Let go of what was kept for error messages. */
  close(): void;
}

/** Where nothing else keeps the process alive, an endless wait would end it without a word. */
class EndlessWait extends Error {
  override readonly name = 'EndlessWait';
  constructor() {
    super(
      'The cell waits for something that never comes: nothing is left that could end the wait.',
    );
  }
}

const parameters = `${given.join(', ')}, require, console`;

// Those that cells see do nothing more once their cell is stopped.
const { clearTimeout, setTimeout } = globalThis;

export function createCellRunner(
  { host, cells, errors, library, guard, nextSession }: Runtime,
  { cwd, sideFiles, timeLimit, printsTo }: RunnerOptions,
): CellRunner {
  guard();
  const id = nextSession();
  const variables: Record<string, unknown> = {};
  const modules = createModules(host.loader(cwd, sideFiles, library.names));
  let latest: CellContext | undefined;
  let working: { readonly context: CellContext; fail(error: unknown): void } | undefined;
  const target = printsTo ?? (() => cells.current() ?? latest);
  const console = host.console(
    (name, text) => target()?.write(name, text),
    () => target()?.clear(false),
  );
  const tick = () => host.tick?.();

  const inTime = <T>(call: () => T): T =>
    timeLimit === undefined || !host.inTime ? call() : host.inTime(call, timeLimit);

  function invoke({ text, isAsync }: ReadyCell['code'], script: string): unknown {
    const head = `(${isAsync ? 'async ' : ''}function (${parameters}) { 'use strict'; `;
    const body = host.evaluate(head, `${text}\n})`, script) as (...given: unknown[]) => unknown;
    const { from, dynamic, require } = modules;
    const { beforeWait, afterWait } = cells;
    return inTime(() =>
      body(variables, from, dynamic, beforeWait, afterWait, tick, require, console),
    );
  }

  /** In a callback of its own: an interrupt may cut it off without a word, and only it. */
  const inCallback = (context: CellContext, call: () => void, fail: (error: unknown) => void) =>
    host.callback(() =>
      cells.inCell(context, () => {
        try {
          call();
        } catch (error) {
          fail(error);
        }
      }),
    );

  function interrupt(): void {
    if (!working) return;
    const { context, fail } = working;
    fail(new Interrupted());
    // In a callback of its own: code that catches the end of its wait may go on into a loop, and only a cut ends that.
    host.callback(() => context.stop());
  }

  async function run(
    { context, onFail }: OwnedContext,
    prepare: () => ReadyCell | Promise<ReadyCell | undefined>,
  ): Promise<Ran> {
    let script: string | undefined;
    let cell: RanCell | undefined;
    let began = false;
    let isOver = false;
    let settle: (ended: Ended) => void = () => {};
    const settled = new Promise<Ended>((done) => {
      settle = done;
    });
    const fail = (thrown: unknown) => settle({ thrown });

    function start({ code, ...ready }: ReadyCell): void {
      if (isOver) return;
      cell = { ...ready, context };
      const name = errors.note(id, cell);
      script = name;
      const loading = modules.load(code.modules);
      if (!loading) begin(code, name);
      else loading.then(() => cells.inCell(context, () => begin(code, name))).catch(context.fail);
    }

    function begin(code: ReadyCell['code'], name: string): void {
      began = true;
      const result = invoke(code, name);
      if (result instanceof Promise) result.then((done) => settle({ result: done }), context.fail);
      else settle({ result: result as CellResult });
    }

    function startPrepared(): void {
      const ready = prepare();
      if (ready instanceof Promise)
        ready.then((made) => {
          if (made) inCallback(context, () => start(made), context.fail);
          else settle('nothing');
        }, context.fail);
      else start(ready);
    }

    latest = context;
    onFail(fail);
    cells.attend(context);
    working = { context, fail };
    const forgetIdle = host.onIdle?.(() => fail(new EndlessWait()));
    const late = timeLimit === undefined ? undefined : setTimeout(interrupt, timeLimit);
    inCallback(context, startPrepared, context.fail);

    let ended = await settled;
    if (ended !== 'nothing' && 'result' in ended) {
      // Rejections that nothing handles show after the cell's own code.
      const afterwards = new Promise<Ended>((done) => {
        settle = done;
      });
      const all = new Promise<void>((done) => host.whenSettled(done)).then(() => ended);
      ended = await Promise.race([afterwards, all]);
    }
    isOver = true;
    clearTimeout(late);
    cells.attend(undefined);
    forgetIdle?.();
    working = undefined;
    onFail(undefined);
    return { ...(ended === 'nothing' ? {} : { outcome: ended }), script, cell, began };
  }

  async function look<T>(
    { context }: OwnedContext,
    looking: () => T,
  ): Promise<{ found: T } | { thrown: unknown }> {
    const seen = await new Promise<{ found: T } | { thrown: unknown }>((done) => {
      const fail = (thrown: unknown) => done({ thrown });
      working = { context, fail };
      inCallback(context, () => done({ found: inTime(looking) }), fail);
    });
    working = undefined;
    return seen;
  }

  return { variables, run, look, interrupt, close: () => errors.forget(id) };
}
