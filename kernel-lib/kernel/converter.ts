import type * as Tslab from 'tslab/dist/converter';
import { namesBuiltin } from './ambient';
import { type CellCode, emitCell } from './emit';
import { homeRequire } from './home';
import { createTypesHost } from './types-host';
import { ts } from './typescript';

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

export interface CellConverter {
  /** Check and emit a cell that follows `declarations`, those of the cells before it. */
  convert(declarations: string, source: string): Conversion;
  /** What could be typed at `offset` (UTF-16 units). */
  complete(declarations: string, source: string, offset: number): Tslab.CompletionInfo;
  /** What the name at `offset` is, as text; `undefined` where there is none. */
  inspect(declarations: string, source: string, offset: number): string | undefined;
  /** JavaScript of the TypeScript files beside the notebook that cells import, by path. */
  readonly sideFiles: ReadonlyMap<string, string>;
  close(): void;
}

const mayLackTypes = new Set([2304, 2307, 2339, 2503, 2551, 2552, 2580, 2584, 2591]);
const notFound = 2307;

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

/** Names of values that the text of a declaration file declares. */
export function declaredValues(declarations: string): Set<string> {
  const names = new Set<string>();
  const file = ts.createSourceFile('decl.d.ts', declarations, ts.ScriptTarget.ES2022);
  for (const node of file.statements) {
    if (ts.isVariableStatement(node))
      for (const { name } of node.declarationList.declarations)
        if (ts.isIdentifier(name)) names.add(name.text);
    const named =
      ts.isFunctionDeclaration(node) || ts.isClassDeclaration(node) || ts.isEnumDeclaration(node);
    if (named && node.name) names.add(node.name.text);
    if (ts.isModuleDeclaration(node)) names.add(node.name.text);
    if (!ts.isImportDeclaration(node) || node.importClause?.isTypeOnly) continue;
    const bindings = node.importClause?.namedBindings;
    if (node.importClause?.name) names.add(node.importClause.name.text);
    if (bindings && ts.isNamespaceImport(bindings)) names.add(bindings.name.text);
    if (bindings && ts.isNamedImports(bindings))
      for (const { name, isTypeOnly } of bindings.elements) if (!isTypeOnly) names.add(name.text);
  }
  return names;
}

/**
 * tslab's converter for cells in the folder `cwd`, with what this kernel adds: `multislit` and Node's
 * globals are found from any folder, results are remembered, and the emitted code keeps variables live.
 */
export function createCellConverter(cwd: string): CellConverter {
  const { createConverter } = homeRequire('tslab/dist/converter') as typeof Tslab;
  const { printQuickInfo } = homeRequire('tslab/dist/inspect');
  const host = createTypesHost(cwd);
  const make = () => host.during(() => createConverter());
  const known = new Map<string, Conversion>();
  const sideFiles = new Map<string, string>();
  let converter = make();
  let missed = false;
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
    convert(declarations, source) {
      if (host.refresh()) known.clear();
      const key = `${declarations}\0${source}`;
      const before = known.get(key);
      if (before) return before;
      if (missed) host.forgetMisses();
      if (namesBuiltin(source)) host.useFullTypes();
      let result = check(declarations, source);
      if (result.diagnostics.some(({ code }) => mayLackTypes.has(code)) && host.useFullTypes())
        result = check(declarations, source);
      missed = result.diagnostics.some(({ code }) => code === notFound);
      const failed = result.diagnostics.length > 0;
      const conversion: Conversion = {
        diagnostics: result.diagnostics.map(diagnostic),
        declarations: failed ? declarations : (result.declOutput ?? ''),
        code: failed ? undefined : emitCell(source, declaredValues(declarations)),
      };
      if (!missed) known.set(key, conversion);
      return conversion;
    },
    complete: (declarations, source, offset) =>
      using((tslab) => tslab.complete(declarations, source, offset)),
    inspect(declarations, source, offset) {
      const info = using((tslab) => tslab.inspect(declarations, source, offset));
      return info ? printQuickInfo(info) : undefined;
    },
    close: () => converter.close(),
  };
}
