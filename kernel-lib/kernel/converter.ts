import { createHash } from 'node:crypto';
import type * as Tslab from 'tslab/dist/converter';
import { globalsFrom, mayAskTypes, mayLackTypes, modulesFrom, namesBuiltin } from './ambient';
import { declaredValues } from './declarations';
import { type CellCode, emitCell } from './emit';
import { homeRequire } from './home';
import { namedTypes } from './named-types';
import { placesToInspect } from './places-to-inspect';
import { notInCells, type Refusal, refusals } from './refusals';
import { remembered } from './remembered';
import { createTypesHost } from './types-host';
import { withoutExports } from './without-exports';

/** What the compiler found wrong; lines and columns of the cell, counted from 1. */
export interface Diagnostic {
  readonly message: string;
  readonly code: number;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  /** Another file than the cell, beside the notebook. */
  readonly file?: string;
}

/** A cell that has been checked and made ready to run. Plain data. */
export interface Conversion {
  readonly diagnostics: readonly Diagnostic[];
  /** All that is declared after this cell, as the text of a declaration file. */
  readonly declarations: string;
  /** Left out when there are diagnostics. */
  readonly code?: CellCode;
}

/** What could stand from `start` to `end` (UTF-16 units). */
export interface Completion {
  readonly start: number;
  readonly end: number;
  readonly candidates: readonly string[];
}

export interface CellConverter {
  /** Check and emit a cell that follows `declarations`, those of the cells before it. */
  convert(declarations: string, source: string): Conversion;
  /** What could be typed at `offset` (UTF-16 units). */
  complete(declarations: string, source: string, offset: number): Completion;
  /** What the name at `offset` is, as text; `undefined` where there is none. */
  inspect(declarations: string, source: string, offset: number): string | undefined;
  /** JavaScript of the TypeScript files beside the notebook that cells import, by path. */
  readonly sideFiles: ReadonlyMap<string, string>;
  close(): void;
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
  return { message, code: 9999, ...from, endLine: to.line, endColumn: to.column };
}

/** A conversion without findings. */
function emitted(before: string, source: string, after: string): Conversion {
  const code = emitCell(source, declaredValues(before));
  // A `var` inside a block or a loop belongs to the cell too, but declaration files leave it out.
  const declared = declaredValues(after);
  const inner = code.names.filter((name) => !declared.has(name) && source.includes(name));
  const declarations = inner.map((name) => `declare let ${name}: any;\n`).join('') + after;
  return { diagnostics: [], declarations, code };
}

/** UTF-16 units of all conversions that are remembered: a class's sheets take a few millions. */
const mostKnown = 16_000_000;

/** Texts, and what objects and maps of places take beside them. */
const sizeOf = ({ declarations, code }: Conversion): number =>
  declarations.length + 4 * (code?.text.length ?? 0) + 1000;

/**
 * tslab's converter for cells in the folder `cwd`, with what this kernel adds: `multislit` and Node's
 * globals are found from any folder, results are remembered, and the emitted code keeps variables live.
 *
 * @param withLibrary for cells that name the library by turns: see `createTypesHost`
 */
export function createCellConverter(cwd: string, withLibrary = false): CellConverter {
  const { createConverter } = homeRequire('tslab/dist/converter') as typeof Tslab;
  const { printQuickInfo } = homeRequire('tslab/dist/inspect');
  const host = createTypesHost(cwd, withLibrary);
  const make = () => host.during(() => createConverter());
  const known = remembered<Conversion>(mostKnown);
  const sideFiles = new Map<string, string>();
  let converter = make();
  let missed: string[] = [];
  let busy = false;

  /** A call that was stopped half-way leaves tslab's converter unusable: make a new one. */
  function using<T>(call: (converter: Tslab.Converter) => T): T {
    if (busy) converter = make();
    busy = true;
    const result = call(converter);
    busy = false;
    return result;
  }

  function check(declarations: string, source: string): Tslab.ConvertResult {
    const result = using((tslab) => tslab.convert(declarations, source));
    for (const { path, data } of result.sideOutputs ?? []) sideFiles.set(path, data);
    return result;
  }

  return {
    sideFiles,
    convert(declarations, cell) {
      const source = withoutExports(cell);
      if (host.refresh()) known.clear();
      const key = createHash('sha256').update(`${declarations}\0${source}`).digest('base64');
      const before = known.get(key);
      if (before) return before;
      // The compiler remembers where it did not find a module; the file may have come since.
      if (missed.some((name) => source.includes(name))) converter = make();
      if (namesBuiltin(source)) host.useFullTypes();
      let result = check(declarations, source);
      if (mayLackTypes(result.diagnostics, source) && host.useFullTypes())
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
          ? { diagnostics, declarations }
          : emitted(declarations, source, result.declOutput ?? '');
      if (missed.length === 0) known.set(key, conversion, sizeOf(conversion));
      return conversion;
    },
    complete(declarations, source, offset) {
      const head = source.slice(0, offset);
      const [, , module] =
        /(?:\bfrom|\bimport|\brequire)\s*\(?\s*(['"])([^'"\n]*)$/.exec(head) ?? [];
      if (module !== undefined && !/^\.\.?\//.test(module))
        return { start: offset - module.length, end: offset, candidates: modulesFrom(module) };
      if (mayAskTypes(source)) host.useFullTypes();
      const found = using((tslab) => tslab.complete(declarations, source, offset));
      const { start, end, candidates } = found;
      // Of a member nothing is known but its type; a name may also be one of Node's.
      if (/\.\s*$/.test(source.slice(0, start))) return { start, end, candidates };
      const named = source.slice(start, offset);
      const more = named === '' ? [] : globalsFrom(named);
      const all = [...new Set([...candidates, ...more])];
      return { start, end, candidates: all.filter((name) => !Object.hasOwn(notInCells, name)) };
    },
    inspect(declarations, source, offset) {
      if (mayAskTypes(source)) host.useFullTypes();
      for (const at of placesToInspect(source, offset)) {
        const info = using((tslab) => tslab.inspect(declarations, source, at));
        const text = info && printQuickInfo(info);
        // That is all the compiler says of a name that nothing declares.
        if (text && text !== 'any') return text;
      }
      return undefined;
    },
    close: () => converter.close(),
  };
}
