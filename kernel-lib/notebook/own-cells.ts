import { type Cell, markOf } from './notebook';

/** `working` is code, a `note` is text. */
export type OwnKind = 'working' | 'note';

/** True for a cell that a student added: the sheet's own cells all carry its mark. */
export const isOwn = (cell: Cell): boolean => markOf(cell) === undefined;

/** An empty cell of the student's own: plain nbformat, without anything of the sheet. */
export function ownCell(kind: OwnKind, id: string, source = ''): Cell {
  return kind === 'working'
    ? { cell_type: 'code', id, metadata: {}, source, execution_count: null, outputs: [] }
    : { cell_type: 'markdown', id, metadata: {}, source };
}

/** A copy of the list with `cell` behind the last of `before` that is still there; at the top when none is. */
export function withCellBehind(
  cells: readonly Cell[],
  cell: Cell,
  before: readonly string[],
): Cell[] {
  const earlier = new Set(before);
  const at = cells.findLastIndex(({ id }) => earlier.has(id)) + 1;
  return [...cells.slice(0, at), cell, ...cells.slice(at)];
}
