import type { Cell } from '../../notebook/notebook';
import { isOwn } from '../../notebook/own-cells';
import { sourceOf } from '../../notebook/text';
import type { DraftCell } from './drafts';

/** Sources by cell id, as they were last saved. */
export type SavedSources = ReadonlyMap<string, string>;

export const sourcesOf = (cells: readonly Cell[]): Map<string, string> =>
  new Map(cells.map((cell) => [cell.id, sourceOf(cell)]));

/** The cells that are not as they were last saved; new ones with their place. */
export function changedCells(cells: readonly Cell[], saved: SavedSources): DraftCell[] {
  return cells.flatMap((cell, i): DraftCell[] => {
    const { id } = cell;
    const source = sourceOf(cell);
    const base = saved.get(id) ?? '';
    if (saved.has(id) || !isOwn(cell)) return base === source ? [] : [{ id, base, source }];
    const own = cell.cell_type === 'code' ? ('working' as const) : ('note' as const);
    return [{ id, base, source, own, above: cells.slice(0, i).map((one) => one.id) }];
  });
}
