import type { Cell, Notebook } from './notebook';

/** Roles as sheets handed out up to November 2026 name them, with what they are called now. */
const roles = new Map([
  ['setup', 'given'],
  ['check', 'answer'],
]);

const presentId = (id: string) =>
  id === 'setup' ? 'given' : id.replace(/^(\d+-\d+)-check$/, '$1-answer');

const markOn = (cell: Cell): Record<string, unknown> | undefined => {
  const mark: unknown = cell.metadata.multislit;
  return typeof mark === 'object' && mark !== null ? (mark as Record<string, unknown>) : undefined;
};

function withPresentRole(cell: Cell): Cell {
  const mark = markOn(cell);
  const role = roles.get(String(mark?.role));
  if (role === undefined) return cell;
  return { ...cell, metadata: { ...cell.metadata, multislit: { ...mark, role } } } as Cell;
}

/**
 * The notebook with the names that cells have today: sheets handed out up to November 2026 call the cell `given`
 * `setup` and the cells `2-1-answer` `2-1-check`, with roles of the same names. A notebook that carries no mark of
 * multislit is nobody's sheet and stays as it is; so does a name whose present form stands in the notebook already.
 */
export function withPresentNames(notebook: Notebook): Notebook {
  const { cells } = notebook;
  if (!cells.some(markOn)) return notebook;
  const taken = new Set(cells.map(({ id }) => id));
  const present = cells.map((cell) => {
    const id = presentId(cell.id);
    return withPresentRole(taken.has(id) ? cell : { ...cell, id });
  });
  return { ...notebook, cells: present };
}
