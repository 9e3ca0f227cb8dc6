import type { CellPlace } from '../cell-code';
import type { Host } from '../host';
import { type Diagnostic, type PlainWords, wordedLines } from '../plain-words';
import { type CellContext, isInterrupted } from './cell-context';
import { wordsForThrown } from './words-for-thrown';

/** An error as a notebook shows it, with the place in the cell where it is known. */
export interface CellError {
  readonly ename: string;
  readonly evalue: string;
  readonly traceback: readonly string[];
  /** Counted from 1. */
  readonly place?: { readonly line: number; readonly column: number };
}

/** A name and a sentence for something that was thrown. */
export interface Described {
  readonly ename: string;
  readonly evalue: string;
}

/** A cell that has run, kept so that later errors find their cell and their lines in it. */
export interface RanCell {
  readonly source: string;
  /** The place in the cell that a place in its emitted code came from; left out where that is not known. */
  place?(emitted: CellPlace): CellPlace | undefined;
  readonly count: number;
  readonly context: CellContext;
}

/** A frame of a stack that lies in a cell's emitted code, counted from 1. */
export interface EmittedFrame {
  readonly script: string;
  readonly line: number;
  readonly column: number;
  /** The function, as the engine names it. */
  readonly name: string;
}

/** What is known of errors: which cell they come from, at which of its lines, and how to say them. */
export interface CellErrors {
  /** Note a cell that is about to run. Returns the name of its script in stacks. */
  note(session: number, cell: RanCell): string;
  /** Forget the cells of a session that is over. */
  forget(session: number): void;
  /** The cell that an error comes from, by its stack: the outermost one, which called the others. */
  cellOf(error: unknown): CellContext | undefined;
  /** Frames of an error that lie in cells, in their emitted code. Never throws. */
  emittedFrames(error: unknown): readonly EmittedFrame[];
  /** Never throws, whatever was thrown. */
  describe(thrown: unknown): Described;
  /** `Error.prototype.toString`, which never throws here. */
  heading(error: unknown): string;
  /** What a cell threw as an error with the cell's own lines; never throws. `current`: the cell that ran. */
  inWords(error: unknown, current: RanCell | undefined): CellError;
  /**
   * From now on `error.stack` of what goes through a cell names the cell's own lines, and nothing of the program
   * around it. Other errors keep the form that they had.
   */
  ownStacks(): void;
}

/** A message is longer than this only by mistake, in UTF-16 units. */
const longestName = 200;
const longestMessage = 20_000;
const unreadable = 'what was thrown cannot be read: looking at it throws an error itself';

/** What `read` gives. Whatever it looks at may run a cell's code, which may throw: then `otherwise`. */
export function attempt<T>(read: () => T, otherwise: T): T {
  try {
    return read();
  } catch {
    return otherwise;
  }
}

const holder =
  /\(0 ?, \$cells(?:\$\d+)?\.([\p{ID_Continue}$]+)\)|\$cells(?:\$\d+)?\.([\p{ID_Continue}$]+)/gu;

/** The engine's messages name the object that holds the variables; readers know the variables alone. */
export const withoutHolder = (text: string): string =>
  text.includes('$cells') ? text.replace(holder, '$1$2') : text;

const cut = (text: string, most: number) =>
  text.length > most ? `${text.slice(0, most)} …` : text;

/** The text of a property, as an error's heading would have it; undefined where it has none that can be read. */
function textOf(thrown: unknown, name: 'name' | 'message'): string | undefined {
  return attempt(() => {
    const value: unknown = (thrown as Record<string, unknown>)[name];
    return value === undefined ? undefined : String(value);
  }, undefined);
}

const isError = (thrown: unknown): boolean => attempt(() => thrown instanceof Error, false);

/** Frames as V8 writes them, and behind an @ as SpiderMonkey and JavaScriptCore do. */
const inCell = /^(?:(.*?)(?: \(|@))?(cell:\d+:\d+):(\d+):(\d+)\)?$/;
/** Files of this program and of Node say nothing to who wrote the cell; in a browser the program is a blob. */
const inside =
  /(?:^|\()(?:node:|evalmachine\.|multislit:|blob:)|[\\/]\.build[\\/][\w-]+\.cjs:|[\\/]kernel-lib[\\/]|^new Promise \(<anonymous>\)|^<anonymous>$/;

function ownName(name: string): string {
  // SpiderMonkey: `async*f` where it goes on after a wait, `f/<` for a function without a name in f.
  const known = name.replace(/^(?:async\*|promise callback\*)+/, '').replace(/(?:\/?<)+$/, '');
  // V8 adds by which name a method was called.
  const plain = known.replace(/^(async )?\$cells(?:\$\d+)?\./, '$1').replace(/ \[as .*\]$/, '');
  return unnamed.test(plain) ? '' : plain;
}

const unnamed =
  /^(?:async )?(?:eval|Object\.<anonymous>|<anonymous>|anonymous|(?:global|eval|module) code)$/;

/** @param host how values are put into words, and what goes before a cell's lines in its script */
export function createCellErrors({
  inspect,
  headLines = 0,
  namedStack = (stack) => stack,
}: Pick<Host, 'inspect' | 'headLines' | 'namedStack'>): CellErrors {
  const ran = new Map<string, RanCell>();
  let count = 0;
  /** Frames of errors whose stack was put into words, as the engine had them. */
  const framesByError = new WeakMap<object, readonly EmittedFrame[]>();

  function describe(thrown: unknown): Described {
    const isObject =
      (typeof thrown === 'object' && thrown !== null) || typeof thrown === 'function';
    const name = isObject ? textOf(thrown, 'name') : undefined;
    const message = isObject ? textOf(thrown, 'message') : undefined;
    const isLikeError = typeof thrown === 'object' && name !== undefined && message !== undefined;
    // The engines' one error that the language gives no name.
    if (name === 'InternalError' && message === 'too much recursion')
      return { ename: 'RangeError', evalue: 'Maximum call stack size exceeded' };
    if (isError(thrown) || isLikeError)
      return {
        ename: cut(name || 'Error', longestName),
        evalue: cut(withoutHolder(message ?? unreadable), longestMessage),
      };
    const text = attempt(() => inspect(thrown), unreadable);
    return { ename: 'Thrown', evalue: cut(withoutHolder(text), longestMessage) };
  }

  function heading(error: unknown): string {
    const { ename, evalue } = describe(error);
    return evalue === '' ? ename : `${ename}: ${evalue}`;
  }

  function emittedFrame(text: string): EmittedFrame | undefined {
    const match = inCell.exec(text);
    if (!match) return undefined;
    const [, name = '', script, line, column] = match;
    return { script, line: Number(line) - headLines, column: Number(column), name };
  }

  function emittedFrames(error: unknown): readonly EmittedFrame[] {
    const isObject = (typeof error === 'object' && error !== null) || typeof error === 'function';
    if (!isObject) return [];
    // Looking at the stack is what has it put into words.
    const stack = attempt(() => (error as Error).stack, undefined);
    const known = framesByError.get(error as object);
    if (known || typeof stack !== 'string') return known ?? [];
    const lines = namedStack(stack.slice(0, 100_000)).split('\n');
    return lines.flatMap((line) => emittedFrame(line.replace(/^\s+at /, '')) ?? []);
  }

  /** A frame in the lines of the cell that it is from. */
  function cellFrame({ script, line, column, name }: EmittedFrame) {
    const cell = ran.get(script);
    const place = cell?.place?.({ line, column });
    return cell && place && { where: ownName(name), cell, ...place };
  }

  function putIntoWords(error: Error): void {
    if (framesByError.has(error)) return;
    const frames = emittedFrames(error);
    if (frames.length === 0) return;
    framesByError.set(error, frames);
    const value = [heading(error), ...frames.flatMap((frame) => stackLine(frame) ?? [])].join('\n');
    Object.defineProperty(error, 'stack', { value, writable: true, configurable: true });
  }

  function stackLine(frame: EmittedFrame): string | undefined {
    const cell = ran.get(frame.script);
    if (!cell) return undefined;
    const own = cellFrame(frame);
    // Where emitted code came from nothing that the cell says, there is nothing to tell; see `emit.ts`.
    if (cell.place && !own) return undefined;
    const name = ownName(frame.name);
    const place = `cell [${cell.count}]${own ? `, line ${own.line}, column ${own.column}` : ''}`;
    return `    at ${name ? `${name} (${place})` : place}`;
  }

  function inWords(error: unknown, current: RanCell | undefined): CellError {
    if (isInterrupted(error))
      return { ename: error.name, evalue: error.message, traceback: [error.message] };
    const { ename, evalue } = describe(error);
    const frames = emittedFrames(error).flatMap((frame) => cellFrame(frame) ?? []);
    const own = frames.find(({ cell }) => cell === current) ?? frames[0];
    const lines = own ? excerpt(own.cell.source, own.line, own.column) : [];
    const traceback = [`${ename}: ${evalue}`, ...lines];
    for (const { where, cell, line, column } of frames.slice(0, most))
      traceback.push(
        `    at ${where ? `${where}, ` : ''}${cell === current ? '' : `cell [${cell.count}], `}line ${line}, column ${column}`,
      );
    const property = (name: 'cause' | 'errors') =>
      attempt(() => (error as Record<string, unknown> | null)?.[name], undefined);
    const cause = property('cause');
    if (cause !== undefined) {
      const { ename: name, evalue: message } = describe(cause);
      traceback.push(`Caused by ${name}: ${message}`);
    }
    for (const one of attempt(() => error instanceof AggregateError, false)
      ? firstOf(property('errors'))
      : []) {
      const { ename: name, evalue: message } = describe(one);
      traceback.push(`  ${name}: ${message}`);
    }
    // The place that stands with plain words is one in this cell.
    const isHere = own !== undefined && own.cell === current;
    const says = isHere && isError(error) ? wordsForThrown({ ename, evalue }) : undefined;
    return {
      ename,
      evalue,
      traceback:
        isHere && says !== undefined
          ? wordedLines({ says, line: own.line, column: own.column }, lines, traceback, 'engine')
          : traceback,
      place: isHere ? { line: own.line, column: own.column } : undefined,
    };
  }

  function ownStacks(): void {
    if (!canPrepareStacks()) {
      // Here an error has its stack from the start. This is asked for when it is printed, and gives the error itself.
      Object.defineProperty(Error.prototype, Symbol.for('nodejs.util.inspect.custom'), {
        configurable: true,
        value(this: Error) {
          attempt(() => putIntoWords(this), undefined);
          return this;
        },
      });
      return;
    }
    const before = Error.prepareStackTrace;
    Error.prepareStackTrace = (error, sites) => {
      const texts = attempt(() => sites.map(String), []);
      const frames = texts.flatMap((text) => emittedFrame(text) ?? []);
      if (frames.length === 0) {
        if (before) return before(error, sites);
        return [heading(error), ...texts.map((text) => `    at ${text}`)].join('\n');
      }
      framesByError.set(error, frames);
      const lines = texts.flatMap((text) => {
        const frame = emittedFrame(text);
        if (frame) return stackLine(frame) ?? [];
        return inside.test(text) ? [] : `    at ${text}`;
      });
      return [heading(error), ...lines].join('\n');
    };
  }

  return {
    note(session, cell) {
      count += 1;
      const script = `cell:${session}:${count}`;
      ran.set(script, cell);
      return script;
    },
    forget(session) {
      for (const script of ran.keys())
        if (script.startsWith(`cell:${session}:`)) ran.delete(script);
    },
    cellOf(error) {
      const script = emittedFrames(error).at(-1)?.script;
      return script === undefined ? undefined : ran.get(script)?.context;
    },
    emittedFrames,
    describe,
    heading,
    inWords,
    ownStacks,
  };
}

/** Whether the engine asks how stacks are to be written, as V8 does. */
function canPrepareStacks(): boolean {
  const before = Error.prepareStackTrace;
  let isAsked = false;
  Error.prepareStackTrace = () => {
    isAsked = true;
  };
  void new Error().stack;
  Error.prepareStackTrace = before;
  return isAsked;
}

const most = 10;

function excerpt(source: string, line: number, column: number, endColumn = column + 1): string[] {
  const text = source.split('\n')[line - 1] ?? '';
  const number = `${line} | `;
  const indent = text.slice(0, column - 1).replace(/[^\t]/g, ' ');
  return [
    `${number}${text}`,
    `${' '.repeat(number.length)}${indent}${'^'.repeat(Math.max(1, endColumn - column))}`,
  ];
}

/**
 * Diagnostics of the compiler as one error.
 *
 * @param words what the first of them probably mean: they stand in front, and where they point is the place
 */
export function diagnosticsError(
  diagnostics: readonly Diagnostic[],
  source: string,
  words?: PlainWords,
): CellError {
  const [first] = diagnostics;
  const ename = first.code < 2000 ? 'SyntaxError' : 'TypeScriptError';
  const at = (one: Diagnostic) =>
    `${one.file ? `${one.file}, ` : ''}line ${one.line}, column ${one.column}`;
  const traceback = diagnostics.slice(0, most).flatMap((one) => {
    const end = one.endLine === one.line ? one.endColumn : undefined;
    return [
      `${at(one)}: ${one.message}`,
      ...(one.file ? [] : excerpt(source, one.line, one.column, end)),
    ];
  });
  const more = diagnostics.length - most;
  if (more > 0) traceback.push(`… and ${more} more`);
  if (words) {
    const { says, line, column, endColumn } = words;
    return {
      ename,
      evalue: `${says} (line ${line}, column ${column})`,
      traceback: wordedLines(words, excerpt(source, line, column, endColumn), [
        `${ename}: ${first.message}`,
        ...traceback,
      ]),
      place: { line, column },
    };
  }
  return {
    ename,
    evalue: `${first.message} (${at(first)})`,
    traceback: [`${ename}: ${first.message}`, ...traceback],
    place: first.file ? undefined : { line: first.line, column: first.column },
  };
}

/** An array's first elements, each read by itself; none of what is no array. */
function firstOf(list: unknown): unknown[] {
  const length = attempt(() => (Array.isArray(list) ? list.length : 0), 0);
  return Array.from({ length: Math.min(length, most) }, (_, n) =>
    attempt(() => (list as unknown[])[n], undefined),
  );
}
