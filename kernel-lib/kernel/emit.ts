import { SourceMap } from 'node:module';
import { offsetBefore } from './edits';
import { type LiveCode, liveVariables } from './live-variables';
import { ts } from './typescript';

/** A cell made ready to run: JavaScript, and the way from its positions back to the cell's own. */
export interface CellCode extends LiveCode {
  /** Source map of the step that takes the types away, version 3, as JSON. */
  readonly sourceMap: string;
  /** The JavaScript after that step. */
  readonly plain: string;
}

/** A place in a cell, both counted from 1. */
export interface CellPlace {
  readonly line: number;
  readonly column: number;
}

const options = {
  module: ts.ModuleKind.ESNext,
  target: ts.ScriptTarget.ES2022,
  moduleDetection: ts.ModuleDetectionKind.Force,
  verbatimModuleSyntax: true,
  experimentalDecorators: true,
  jsx: ts.JsxEmit.React,
  newLine: ts.NewLineKind.LineFeed,
  sourceMap: true,
};

/** Emit one cell. `previous`: names that earlier cells declared. */
export function emitCell(source: string, previous: ReadonlySet<string>): CellCode {
  const { outputText, sourceMapText } = ts.transpileModule(source, {
    fileName: 'cell.ts',
    compilerOptions: options,
  });
  const plain = outputText.replace(/\n\/\/# sourceMappingURL=.*\s*$/, '\n');
  return { ...liveVariables(plain, previous), plain, sourceMap: sourceMapText ?? '' };
}

function offsetOf(text: string, { line, column }: CellPlace): number {
  let at = 0;
  for (let n = 1; n < line; n += 1) {
    const next = text.indexOf('\n', at);
    if (next < 0) return text.length;
    at = next + 1;
  }
  return Math.min(at + column - 1, text.length);
}

function placeOf(text: string, offset: number): CellPlace {
  const before = text.slice(0, offset);
  const line = before.split('\n').length;
  return { line, column: offset - before.lastIndexOf('\n') };
}

const maps = new WeakMap<CellCode, SourceMap>();

function mapOf(code: CellCode): SourceMap {
  const known = maps.get(code) ?? new SourceMap(JSON.parse(code.sourceMap));
  maps.set(code, known);
  return known;
}

/**
 * Where the text before live variables has what the emitted text has at `place`. The engine sets a call at its
 * callee where that is a name, but at the bracket behind it where it stands in brackets, as a shared one does.
 */
function plainOffset({ text, anchors }: CellCode, place: CellPlace): number {
  const after = offsetOf(text, place);
  const end = anchors.findIndex(([at], n) => n % 2 === 1 && at === after);
  if (end > 0 && text.startsWith('(0, ', anchors[end - 1][0])) return anchors[end - 1][1];
  return offsetBefore(anchors, after);
}

/** Where in the cell the emitted code at `place` came from; `undefined` where it came from nowhere. */
export function placeInCell(code: CellCode, place: CellPlace): CellPlace | undefined {
  const { line, column } = placeOf(code.plain, plainOffset(code, place));
  const entry = mapOf(code).findEntry(line - 1, column - 1);
  if (!('originalLine' in entry)) return undefined;
  return { line: entry.originalLine + 1, column: entry.originalColumn + 1 };
}
