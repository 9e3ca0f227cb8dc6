import type { MimeBundle } from '../../display/bundle';
import type { CommMessage } from '../../display/comm';
import type { Ahead } from '../ahead';
import { placesIn } from '../cell-code';
import type { Completeness } from '../convert/cell-source';
import type { CellConverter, Completion, Conversion } from '../convert/converter';
import { type CellNames, onlyNames } from '../follow';
import { type Remark, remarkBundle } from '../plain-words';
import { createBeginnings } from './beginnings';
import { Interrupted, isInterrupted, type OwnedContext } from './cell-context';
import { type CellError, diagnosticsError, type RanCell } from './cell-errors';
import { createOutput, isShown, type Output, valueBundle } from './output';
import { type RanCell as NamedRun, namedCells, RanCells, type Standing } from './ran-cells';
import { lastLine, remarkOnValues } from './remark-on-values';
import { type CellResult, createCellRunner, type ReadyCell } from './run-cell';
import type { Runtime } from './runtime';

export interface SessionOptions {
  /** Where cells look for files and packages. */
  cwd: string;
  /** Checks and emits the cells; it may be on its way, or be made when it is first asked. */
  converter: CellConverter | Promise<CellConverter> | (() => Promise<CellConverter>);
  /** Asked first: cells that it knows need no converter. */
  ahead?: Ahead;
  /** Everything that cells bring forth. `tag` is what the run was given, also for output after its end. */
  onOutput(output: Output, tag: unknown): void;
  /** Comm messages that cells send; without this they lead nowhere. */
  onComm?(message: CommMessage, tag: unknown): void;
  /** Asks the person at the screen for a cell; without this nobody is there. */
  onAsk?(question: string, tag: unknown): Promise<string>;
}

export interface RunOptions extends Standing {
  /** Comes back with each output of this run. */
  tag?: unknown;
  /** Show nothing and count nothing. */
  silent?: boolean;
  /** Whether the run gets a number of its own; unless silent it does. */
  counted?: boolean;
  /** What the client calls the cell. */
  cell?: string;
  /** Say below the cell which others are older by now, for a client that does not tell by itself. */
  tellsOlder?: boolean;
}

export interface RunResult {
  readonly status: 'ok' | 'error';
  readonly executionCount: number;
  readonly error?: CellError;
  /** The last expression's value, as it is. */
  readonly value?: unknown;
  /** What the cell has to do with variables; left out where it did not convert. */
  readonly names?: CellNames;
}

/** Cells of one notebook, run in order, sharing their variables. */
export interface Session {
  readonly executionCount: number;
  /** Run a cell after those before it. Resolves whatever the cell does; it never rejects. */
  run(source: string, options?: RunOptions): Promise<RunResult>;
  /** Cells that clients gave names, in the order in which each last ran. */
  ran(): readonly NamedRun[];
  /** What could be typed at `offset` (UTF-16 units) of a cell that comes next. */
  complete(source: string, offset: number): Promise<Completion>;
  /** What the name at `offset` is, as text; `undefined` where there is none. */
  inspect(source: string, offset: number): Promise<string | undefined>;
  /** Whether a console should run the text, or wait for more of it. */
  isComplete(source: string): Promise<Completeness>;
  /** Make the converter now, before it is asked for. */
  prepare(): Promise<void>;
  /** Stop the running cell. Variables keep their values. */
  interrupt(): void;
  /** Call `call` as something that belongs to `tag`: what it shows goes there. */
  within(tag: unknown, call: () => void): void;
  /** Let go of what was kept for error messages. */
  close(): void;
}

/** A context with its outputs. */
interface Shown extends OwnedContext {
  readonly output: ReturnType<typeof createOutput>;
  /** From now on errors that nothing caught are told, and those that came before are. */
  tellOthers(ended?: RunResult): void;
}

/** A variable's value; what a module may change is not asked. */
const ownValue = (variables: object, name: string): unknown =>
  Object.getOwnPropertyDescriptor(variables, name)?.value;

/** @param options.converter for the same folder as `cwd`; several sessions may share one */
export function createSession(runtime: Runtime, options: SessionOptions): Session {
  const { host, cells, errors, library } = runtime;
  const ran = new RanCells();
  const sideFiles = new Map<string, string>();
  const runner = createCellRunner(runtime, { cwd: options.cwd, sideFiles });
  const { variables } = runner;
  const workNow = () => runtime.library.loaded()?.workNow();
  const beginnings = createBeginnings(workNow);
  let coming: Promise<CellConverter> | undefined;
  let converter: CellConverter | undefined;
  let declarations = '';
  let executionCount = 0;
  let queue: Promise<unknown> = Promise.resolve();

  function theConverter(): Promise<CellConverter> {
    if (coming) return coming;
    const given = options.converter;
    coming = Promise.resolve(typeof given === 'function' ? given() : given);
    // Who asks for a cell is told when there is no converter.
    coming.then(
      (made) => {
        converter = made;
      },
      () => {},
    );
    return coming;
  }
  if (typeof options.converter !== 'function') theConverter();

  function contextFor(tag: unknown, silent: boolean): Shown {
    const output = createOutput((one) => {
      if (!silent) cells.outside(() => options.onOutput(one, tag));
    });
    // Behind the one that ended the cell, which it may take a while to put into words.
    let others: unknown[] | undefined = [];
    let wasStopped = false;
    const tell = (error: unknown) =>
      output.send({ type: 'error', ...errors.inWords(error, undefined) });
    const owned = cells.contextFor({
      ...output,
      fail(error) {
        // That a run was stopped is what ended it, and told as that.
        if (isInterrupted(error) && (others || wasStopped)) return;
        if (others) others.push(error);
        else tell(error);
      },
      comm: (message) => options.onComm?.(message, tag),
      ask:
        options.onAsk &&
        ((question) => {
          output.flush();
          return options.onAsk!(question, tag);
        }),
    });
    function tellOthers(ended?: RunResult): void {
      wasStopped = ended?.error?.ename === new Interrupted().name;
      const waiting = others ?? [];
      others = undefined;
      for (const error of waiting) tell(error);
    }
    return { ...owned, output, tellOthers };
  }

  /** A cell that failed keeps what it set before. @returns the names of that */
  async function afterFailure(
    { code, declarations: after }: Conversion,
    before: ReadonlyMap<string, unknown>,
  ): Promise<readonly string[]> {
    const names = code?.names ?? [];
    const set = names.filter(
      (name) =>
        name in variables && !(before.has(name) && Object.is(before.get(name), variables[name])),
    );
    const { declarationsSoFar } = await theConverter();
    declarations = await declarationsSoFar(declarations, after, names, set);
    return set;
  }

  async function runOne(source: string, options: RunOptions): Promise<RunResult> {
    const { tag, silent = false, counted = !silent } = options;
    if (counted) executionCount += 1;
    const shown = contextFor(tag, silent);
    const result = await runIn(shown, source, { ...options, counted });
    shown.tellOthers(result);
    return result;
  }

  async function runIn(
    shown: Shown,
    source: string,
    { counted, cell: named, tellsOlder = false, cells: standing, removed }: RunOptions,
  ): Promise<RunResult> {
    const count = executionCount;
    let conversion: Conversion | undefined;
    let gave: readonly string[] = [];
    let before: Map<string, unknown> | undefined;

    /** The compiler's work is done in a callback that may be cut off: this one, once there is a compiler. */
    function convert(): Promise<Conversion> {
      const known = options.ahead?.(declarations, source);
      if (known) return Promise.resolve(known);
      if (converter) return converter.convert(declarations, source);
      return new Promise((done, fail) => {
        const start = (made: CellConverter) => made.convert(declarations, source).then(done, fail);
        theConverter().then((made) => host.callback(() => start(made)), fail);
      });
    }

    async function prepare(): Promise<ReadyCell | undefined> {
      const made = await convert();
      conversion = made;
      for (const [path, text] of Object.entries(made.sideFiles ?? {})) sideFiles.set(path, text);
      const { code } = made;
      if (!code) return undefined;
      const known = code.names.filter((name) => name in variables);
      before = new Map(known.map((name) => [name, variables[name]]));
      beginnings.before(code);
      const work = workNow();
      if (work)
        work.leftBehind = ran.leftBehind(
          { source, names: code, cell: named },
          { cells: standing, removed },
        );
      return { source, count, code, place: placesIn(code) };
    }

    async function end(): Promise<RunResult> {
      const { outcome, cell, began } = await runner.run(shown, prepare);
      if (began && conversion?.code) beginnings.after(conversion.code, source);
      if (outcome && 'result' in outcome) {
        declarations = conversion?.declarations ?? declarations;
        const finished = await finish(outcome.result, count, shown, cell);
        const names = conversion?.code?.names ?? [];
        gave = names;
        const values = names.map((name) => [name, ownValue(variables, name)] as const);
        const odd = remarkOnValues(
          source,
          [...values, [lastLine, finished.value]],
          functionsOf([...names, ...(conversion?.code?.reads ?? [])]),
        );
        remark([...(conversion?.remarks ?? []), ...(odd ? [odd] : [])], shown);
        return finished;
      }
      remark(conversion?.remarks ?? [], shown);
      if (conversion && before && began) gave = await afterFailure(conversion, before);
      if (outcome) return describe(outcome.thrown, count, shown, cell);
      const { diagnostics = [], words } = conversion ?? {};
      return failed(diagnosticsError(diagnostics, source, words), count, shown);
    }

    const result = await end();
    const work = workNow();
    if (work) work.leftBehind = [];
    const names = conversion?.code && onlyNames(conversion.code);
    if (counted) {
      const older = ran.note({ count, source, names, cell: named, gave });
      if (tellsOlder && older.length > 0) shown.output.show(olderBundle(older));
    }
    return { ...result, ...(names && { names }) };
  }

  /** Functions that cells made, of these names, with their texts. */
  function functionsOf(names: readonly string[]): [string, string][] {
    const own = new Set<unknown>(Object.values(library.loaded() ?? {}));
    return names.flatMap((name): [string, string][] => {
      const value = ownValue(variables, name);
      if (typeof value !== 'function' || own.has(value)) return [];
      return [[name, Function.prototype.toString.call(value)]];
    });
  }

  /** Say what a cell that ran surely did not mean. */
  function remark(remarks: readonly Remark[], { output }: Shown): void {
    for (const one of remarks)
      output.send({ type: 'display_data', data: remarkBundle(one), metadata: {} });
  }

  async function describe(
    error: unknown,
    count: number,
    shown: Shown,
    cell: RanCell | undefined,
  ): Promise<RunResult> {
    const looked = await runner.look(shown, () => errors.inWords(error, cell));
    // Only an interrupt ends that.
    const described = 'found' in looked ? looked.found : errors.inWords(looked.thrown, cell);
    return failed(described, count, shown);
  }

  function failed(error: CellError, executionCount: number, { output }: Shown): RunResult {
    output.send({ type: 'error', ...error });
    return { status: 'error', executionCount, error };
  }

  async function finish(
    result: CellResult,
    executionCount: number,
    shown: Shown,
    cell: RanCell | undefined,
  ): Promise<RunResult> {
    const value = result?.[0];
    shown.output.flush();
    if (!isShown(value)) return { status: 'ok', executionCount };
    await host.beforeInspect?.(value);
    const looked = await runner.look(shown, () => valueBundle(value, host));
    if ('thrown' in looked) return describe(looked.thrown, executionCount, shown, cell);
    const data = looked.found;
    shown.output.send({ type: 'execute_result', data, metadata: {}, executionCount });
    return { status: 'ok', executionCount, value };
  }

  library.onMoved((name) => {
    const after = ran.after(name);
    return after.length > 0 ? `Run ${namedCells(after)} to see what follows.` : undefined;
  });

  return {
    get executionCount() {
      return executionCount;
    },
    run(source, runOptions = {}) {
      const result = queue.then(() => runOne(source, runOptions));
      // Whatever became of this one, the next has its turn.
      queue = result.catch(() => {});
      return result;
    },
    ran: () => ran.list(),
    complete: async (source, offset) =>
      (await theConverter()).complete(declarations, source, offset),
    inspect: async (source, offset) => (await theConverter()).inspect(declarations, source, offset),
    isComplete: async (source) => (await theConverter()).isComplete(source),
    prepare: async () => void (await theConverter()),
    interrupt: runner.interrupt,
    within(tag, call) {
      const { context, tellOthers } = contextFor(tag, false);
      tellOthers();
      cells.inCell(context, () => {
        try {
          call();
        } catch (error) {
          context.fail(error);
        }
      });
    },
    close: runner.close,
  };
}

function olderBundle(counts: readonly number[]): MimeBundle {
  const text = `Computed from older values by now: ${namedCells(counts)}. Run ${counts.length > 1 ? 'them' : 'it'} again to bring ${counts.length > 1 ? 'them' : 'it'} along.`;
  return { 'text/html': `<p><em>${text}</em></p>`, 'text/plain': text };
}
