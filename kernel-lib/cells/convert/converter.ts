import type * as Tslab from 'tslab/dist/converter.js';
import type { CellCode } from '../cell-code';
import type { ConvertHost } from '../host';
import type { Diagnostic, PlainWords } from '../plain-words';
import { mayAskTypes, mayLackTypes, namesBuiltin } from './ambient';
import {
  type Completeness,
  isComplete,
  namedTypes,
  notInCells,
  type Refusal,
  refusals,
  refusedCode,
  withoutExports,
} from './cell-source';
import { createCompilerSystem } from './compiler-system';
import { declarationsSoFar, declaredValues, printed } from './declarations';
import { emitCell } from './emit';
import { remembered } from './remembered';
import { type TypeScript, ts } from './typescript';
import { remarksOn } from './words/remarks-on';
import { wordsFor } from './words/words-for';

/** A cell that has been checked and made ready to run. Plain data, the same for the same cell and declarations. */
export interface Conversion {
  readonly diagnostics: readonly Diagnostic[];
  /** What the first of them probably mean, where that can be said. */
  readonly words?: PlainWords;
  /** What the cell says, and surely does not mean, though it runs; left out where there is nothing of the kind. */
  readonly remarks?: readonly PlainWords[];
  /** All that is declared after this cell, as the text of a declaration file. */
  readonly declarations: string;
  /** Left out when there are diagnostics. */
  readonly code?: CellCode;
  /** JavaScript of the source files beside the notebook that cells import, by path; left out where there are none. */
  readonly sideFiles?: Readonly<Record<string, string>>;
}

/** What could stand from `start` to `end` (UTF-16 units). */
export interface Completion {
  readonly start: number;
  readonly end: number;
  readonly candidates: readonly string[];
}

/** Checks cells and makes them ready to run, here or in another thread or process: what it is asked and says is data. */
export interface CellConverter {
  /** Check and emit a cell that follows `declarations`, those of the cells before it. */
  convert(declarations: string, source: string): Promise<Conversion>;
  /** What is declared after a cell that failed half-way; `set`: those of its `names` that it had set by then. */
  declarationsSoFar(
    before: string,
    after: string,
    names: readonly string[],
    set: readonly string[],
  ): Promise<string>;
  /** What could be typed at `offset` (UTF-16 units). */
  complete(declarations: string, source: string, offset: number): Promise<Completion>;
  /** What the name at `offset` is, as text; `undefined` where there is none. */
  inspect(declarations: string, source: string, offset: number): Promise<string | undefined>;
  /** Whether a console should run the text, or wait for more of it. */
  isComplete(source: string): Promise<Completeness>;
  close(): void;
}

export interface ConverterOptions {
  /** For cells that name the library by turns: see `createCompilerSystem`. */
  readonly withLibrary?: boolean;
  /** Call `$tick()` at the head of every loop and function, for hosts that have no other way to stop one. */
  readonly ticks?: boolean;
}

function diagnostic({ start, end, messageText, code, fileName }: Tslab.Diagnostic): Diagnostic {
  return {
    message: messageText,
    code,
    line: start.line + 1,
    column: start.character + 1,
    endLine: end.line + 1,
    endColumn: end.character + 1,
    file: fileName,
  };
}

function refusedDiagnostic({ start, end, message }: Refusal, source: string): Diagnostic {
  const place = (offset: number) => {
    const before = source.slice(0, offset);
    return { line: before.split('\n').length, column: offset - before.lastIndexOf('\n') };
  };
  const [from, to] = [place(start), place(end)];
  return { message, code: refusedCode, ...from, endLine: to.line, endColumn: to.column };
}

/** UTF-16 units of all conversions that are remembered: a class's sheets take a few millions. */
const mostKnown = 16_000_000;

/** Texts, and what objects and maps of places take beside them. */
const sizeOf = ({ declarations, code }: Conversion): number =>
  declarations.length + 4 * (code?.text.length ?? 0) + 1000;

/**
 * tslab's converter for the cells of one folder, with what this kernel adds: `multislit` and the platform's
 * globals are found from any folder, results are remembered, and the emitted code keeps variables live.
 */
export async function createCellConverter(
  host: ConvertHost,
  { withLibrary = false, ticks = false }: ConverterOptions = {},
): Promise<CellConverter> {
  const system = createCompilerSystem(host, withLibrary);
  // Where there is no disk the compiler has no system by itself, and tslab wants one when it is loaded.
  ts.setSys(system.sys);
  const { createConverter } = await import('tslab/dist/converter.js');
  const { printQuickInfo } = await import('tslab/dist/inspect.js');
  const known = remembered<Conversion>(mostKnown);
  let sideFiles: Record<string, string> | undefined;
  let missed: string[] = [];
  let busy = false;
  let converter = make();
  let inLibrary: readonly string[] | undefined;

  function make(): Tslab.Converter {
    ts.setSys(system.sys);
    return createConverter();
  }

  /** tslab asks the compiler for its system at each call; other converters have other systems. */
  function using<T>(call: (converter: Tslab.Converter) => T): T {
    // A call that was stopped half-way leaves tslab's converter unusable: make a new one.
    if (busy) converter = make();
    busy = true;
    ts.setSys(system.sys);
    const result = call(converter);
    busy = false;
    return result;
  }

  function check(declarations: string, source: string): Tslab.ConvertResult {
    const result = using((tslab) => tslab.convert(declarations, source));
    for (const { path, data } of result.sideOutputs ?? [])
      sideFiles = { ...sideFiles, [path]: data };
    return result;
  }

  /** A conversion without findings. */
  function emitted(before: string, source: string, after: string): Conversion {
    const code = emitCell(source, declaredValues(before), ticks);
    // A `var` inside a block or a loop belongs to the cell too, but declaration files leave it out.
    const declared = declaredValues(after);
    const inner = code.names.filter((name) => !declared.has(name) && source.includes(name));
    const declarations =
      inner.map((name) => `declare let ${name}: any;\n`).join('') + printed(after);
    const remarks = remarksOn(source, before);
    return {
      diagnostics: [],
      ...(remarks.length > 0 && { remarks }),
      declarations,
      code,
      ...(sideFiles && { sideFiles }),
    };
  }

  /** What the findings of a cell mean in plain words. */
  function worded(declarations: string, source: string, found: readonly Diagnostic[]) {
    const declared = declaredValues(declarations);
    const offered = (text: string, at: number) =>
      using((tslab) => tslab.complete(declarations, text, at)).candidates;
    let givens: readonly string[] | undefined;
    const words = wordsFor(source, found, {
      declared,
      library() {
        inLibrary ??= offered("import {  } from 'multislit';", 9);
        return inLibrary;
      },
      givens() {
        givens ??= declared.has('given') ? offered('given.', 6) : [];
        return givens;
      },
      typeAt(offset) {
        const info = using((tslab) => tslab.inspect(declarations, source, offset));
        return (info && printQuickInfo(info)) ?? '';
      },
    });
    return words && { words };
  }

  function convert(declarations: string, cell: string): Conversion {
    const source = withoutExports(cell);
    if (system.refresh()) known.clear();
    const key = host.digest(`${declarations}\0${source}`);
    const before = known.get(key);
    if (before) return before;
    // The compiler remembers where it did not find a module; the file may have come since.
    if (missed.some((name) => source.includes(name))) converter = make();
    if (namesBuiltin(source)) system.useFullTypes();
    let result = check(declarations, source);
    if (mayLackTypes(result.diagnostics, source, host) && system.useFullTypes())
      result = check(declarations, source);
    const unnamed = namedTypes(source, result.diagnostics);
    // Of a type that cannot be written down, later cells know what can be.
    if (unnamed !== undefined) {
      const again = check(declarations, unnamed);
      if (again.diagnostics.length === 0) result = again;
    }
    missed = result.diagnostics.flatMap(({ messageText }) =>
      messageText.startsWith('Cannot find module') ? messageText.split("'").slice(1, 2) : [],
    );
    const refused = refusals(source, declaredValues(declarations));
    const diagnostics = [
      ...refused.map((one) => refusedDiagnostic(one, source)),
      ...result.diagnostics.map(diagnostic),
    ];
    const conversion: Conversion =
      diagnostics.length > 0
        ? { diagnostics, ...worded(declarations, source, diagnostics), declarations }
        : emitted(declarations, source, result.declOutput ?? '');
    if (missed.length === 0) known.set(key, conversion, sizeOf(conversion));
    return conversion;
  }

  function complete(declarations: string, source: string, offset: number): Completion {
    const head = source.slice(0, offset);
    const [, , module] = /(?:\bfrom|\bimport|\brequire)\s*\(?\s*(['"])([^'"\n]*)$/.exec(head) ?? [];
    if (module !== undefined && !/^\.\.?\//.test(module)) {
      const candidates = ['multislit', ...host.modules].filter((name) => name.startsWith(module));
      return { start: offset - module.length, end: offset, candidates };
    }
    if (mayAskTypes(source, host)) system.useFullTypes();
    const found = using((tslab) => tslab.complete(declarations, source, offset));
    const { start, end, candidates } = found;
    // Of a member nothing is known but its type; a name may also be one of the platform's.
    if (/\.\s*$/.test(source.slice(0, start))) return { start, end, candidates };
    const named = source.slice(start, offset);
    const more = named === '' ? [] : globalsFrom(named, host);
    const all = [...new Set([...candidates, ...more])];
    return { start, end, candidates: all.filter((name) => !Object.hasOwn(notInCells, name)) };
  }

  function inspect(declarations: string, source: string, offset: number): string | undefined {
    if (mayAskTypes(source, host)) system.useFullTypes();
    for (const at of placesToInspect(source, offset)) {
      const info = using((tslab) => tslab.inspect(declarations, source, at));
      const text = info && printQuickInfo(info);
      // That is all the compiler says of a name that nothing declares.
      if (text && text !== 'any') return text;
    }
    return undefined;
  }

  // Nothing is awaited in these: who calls them in a callback that may be cut off has the compiler's work in it.
  return {
    convert: async (...asked) => convert(...asked),
    async declarationsSoFar(before, after, names, set) {
      const own = new Set(names);
      const isSet = new Set(set);
      return declarationsSoFar(before, after, (name) => !own.has(name) || isSet.has(name));
    },
    complete: async (...asked) => complete(...asked),
    inspect: async (...asked) => inspect(...asked),
    isComplete: async (source) => isComplete(source),
    close: () => converter.close(),
  };
}

/** Names of globals that begin so. */
const globalsFrom = (head: string, { globals }: ConvertHost): string[] =>
  [...globals].filter((name) => name.startsWith(head) && /^[\w$]+$/.test(name)).sort();

/**
 * Where to ask the compiler what a reader means with the cursor at `offset`: the name there, the name that ends
 * there, and last the function whose arguments are being written.
 */
function placesToInspect(source: string, offset: number): number[] {
  const places = [offset];
  if (offset > 0 && /[\p{ID_Continue}$]/u.test(source[offset - 1])) places.push(offset - 1);
  const callee = calleeAround(source, offset);
  return callee === undefined ? places : [...places, callee];
}

function calleeAround(source: string, offset: number): number | undefined {
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  let found: number | undefined;
  const visit = (node: TypeScript.Node): void => {
    if (ts.isCallExpression(node) || ts.isNewExpression(node)) {
      const { expression } = node;
      const open = source.indexOf('(', expression.end);
      const isClosed = source[node.end - 1] === ')';
      const isInside =
        open >= 0 && offset > open && (isClosed ? offset < node.end : offset >= open);
      if (isInside) {
        const name = ts.isPropertyAccessExpression(expression) ? expression.name : expression;
        found = name.getStart(file);
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}
