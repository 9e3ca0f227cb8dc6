import { markOf } from './marks';
import type { Cell, Notebook } from './notebook';

/** What a cell is for; undefined for one of the student's own. */
function purposeOf(cell: Cell): string | undefined {
  const mark = markOf(cell);
  return mark && JSON.stringify([mark.sheet, mark.role, mark.question ?? '', cell.cell_type]);
}

/**
 * A copy in which cells of the sheet that have lost their ids have them again: by the mark on each cell, in the order
 * in which cells with the same mark stand. An id that is still there is never given to another cell.
 *
 * Ids get lost where an editor keeps a format before nbformat 4.5, or where a cell is cut and pasted.
 *
 * @param sheet the sheet as it was handed out
 */
export function withIdsOf(sheet: Notebook, returned: Notebook): Notebook {
  const there = new Set(returned.cells.map(({ id }) => id));
  const free = new Map<string, string[]>();
  for (const cell of sheet.cells) {
    const purpose = purposeOf(cell);
    if (purpose === undefined || there.has(cell.id)) continue;
    free.set(purpose, [...(free.get(purpose) ?? []), cell.id]);
  }
  if (free.size === 0) return returned;
  const known = new Set(sheet.cells.map(({ id }) => id));
  const cells = returned.cells.map((cell) => {
    const purpose = known.has(cell.id) ? undefined : purposeOf(cell);
    const id = purpose === undefined ? undefined : free.get(purpose)?.shift();
    return id === undefined ? cell : { ...cell, id };
  });
  return { ...returned, cells };
}
