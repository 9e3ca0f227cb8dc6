import { markOf } from '../../notebook/marks';
import type { Cell } from '../../notebook/notebook';
import { studentNumberCell } from '../../notebook/student-number';
import { sourceOf } from '../../notebook/text';

/**
 * The cells above `id` that it stands on and that have not run as they are now: the set-up always, and
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
  const isNeeded = (cell: Cell) => {
    const { role, question } = markOf(cell) ?? {};
    if (role === 'setup' || cell.id === studentNumberCell) return true;
    return mark?.role === 'check' && role === 'work' && question === mark.question;
  };
  return cells
    .slice(0, Math.max(0, at))
    .filter((cell) => cell.cell_type === 'code' && isNeeded(cell))
    .filter((cell) => ran.get(cell.id) !== sourceOf(cell))
    .map((cell) => cell.id);
}
