import { decode, type SourceMapSegment } from '@jridgewell/sourcemap-codec';
import type { CellNames } from './follow';

/** A cell made ready to run: a function's body, and the way from its positions back to the cell's own. Plain data. */
export interface CellCode extends EditedText, CellNames {
  /** Modules that the cell imports, loaded before it runs. */
  readonly modules: readonly string[];
  readonly isAsync: boolean;
  /** Source map of the step that takes the types away, version 3, as JSON. */
  readonly sourceMap: string;
  /** The JavaScript after that step. */
  readonly plain: string;
}

/** Names that emitted code is given from outside: see `run/run-cell.ts`. The first holds the variables of all cells. */
export const given = ['$cells', '$from', '$import', '$wait', '$after', '$tick'] as const;

/** A place in a cell, both counted from 1. */
export interface CellPlace {
  readonly line: number;
  readonly column: number;
}

/** Replace the text from `start` to `end` with `text`; an insertion when both are the same. */
export interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Where an edit lies in the text after it, and how to come back. Plain data, so that it can be kept. */
interface EditedText {
  readonly text: string;
  /** For each edit, in order: its start in the new and the old text, then its end in the new and the old text. */
  readonly anchors: readonly (readonly [number, number])[];
}

/**
 * Apply edits that do not overlap. Edits at the same place keep the order in which they were given.
 */
export function applyEdits(source: string, edits: readonly Edit[]): EditedText {
  const ordered = [...edits].sort((a, b) => a.start - b.start || a.end - b.end);
  const anchors: [number, number][] = [];
  let text = '';
  let at = 0;
  for (const edit of ordered) {
    text += source.slice(at, edit.start);
    anchors.push([text.length, edit.start]);
    text += edit.text;
    at = edit.end;
    anchors.push([text.length, at]);
  }
  return { text: text + source.slice(at), anchors };
}

/** The offset in the old text that the offset `after` in the new text came from. */
function offsetBefore(anchors: EditedText['anchors'], after: number): number {
  let low = 0;
  let high = anchors.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (anchors[middle][0] <= after) low = middle + 1;
    else high = middle;
  }
  if (low === 0) return after;
  const [start, origin] = anchors[low - 1];
  // Anchors come in pairs: after the first of a pair lies new text, which stands for where it was put.
  return (low - 1) % 2 === 0 ? origin : origin + (after - start);
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

interface Mapping {
  readonly line: number;
  readonly segment: SourceMapSegment;
}

/** The last mapping at or before a place, both counted from 0. */
function lastBefore(mappings: readonly Mapping[], line: number, column: number) {
  let low = 0;
  let high = mappings.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    const { line: at, segment } = mappings[middle];
    if (at < line || (at === line && segment[0] <= column)) low = middle + 1;
    else high = middle;
  }
  return mappings[low - 1]?.segment;
}

/** Tells where in the cell a place in its emitted code came from; `undefined` where it came from nowhere. */
export function placesIn(code: CellCode): (emitted: CellPlace) => CellPlace | undefined {
  let mappings: Mapping[] | undefined;
  return (emitted) => {
    // Read only when an error asks for it.
    mappings ??= decode(JSON.parse(code.sourceMap).mappings).flatMap((segments, line) =>
      segments.map((segment) => ({ line, segment })),
    );
    const { line, column } = placeOf(code.plain, plainOffset(code, emitted));
    const [, , originalLine, originalColumn] = lastBefore(mappings, line - 1, column - 1) ?? [];
    if (originalLine === undefined || originalColumn === undefined) return undefined;
    return { line: originalLine + 1, column: originalColumn + 1 };
  };
}
