import { markOf } from '../../notebook/marks';
import type { Cell } from '../../notebook/notebook';
import { studentNumberCell } from '../../notebook/student-number';
import { sourceOf } from '../../notebook/text';
import { workCellsOf } from './work-of';

/**
 * The cells above `id` that it stands on and that have not run as they are now: the givens always, and
 * for an answer the working of its own question, so that what is checked is what stands there.
 *
 * @param ran the cells run in this kernel, with the source each had
 */
export function needsFirst(
  cells: readonly Cell[],
  id: string,
  ran: ReadonlyMap<string, string>,
): string[] {
  const at = cells.findIndex((cell) => cell.id === id);
  const mark = at < 0 ? undefined : markOf(cells[at]);
  const isAnswer = mark?.role === 'answer' && mark.question !== undefined;
  const work = new Set(isAnswer ? workCellsOf(cells, mark.question ?? '') : []);
  return cells
    .slice(0, Math.max(0, at))
    .filter((cell) => cell.cell_type === 'code')
    .filter((cell) => isGiven(cell) || work.has(cell))
    .filter((cell) => ran.get(cell.id) !== sourceOf(cell))
    .map((cell) => cell.id);
}

const isGiven = (cell: Cell) => markOf(cell)?.role === 'given' || cell.id === studentNumberCell;
