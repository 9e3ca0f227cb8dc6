import type { Cell, CellMark, CodeCell, Notebook, Role } from './notebook';

const roles: readonly Role[] = ['text', 'given', 'work', 'answer', 'written'];

/** What multislit wrote on the cell, or undefined for a cell of the student's own. */
export function markOf(cell: Cell): CellMark | undefined {
  const mark = cell.metadata.multislit;
  return mark && typeof mark === 'object' && roles.includes(mark.role) ? mark : undefined;
}

/** The cell with this id. */
export function cellById(notebook: Notebook, id: string): Cell | undefined {
  return notebook.cells.find((cell) => cell.id === id);
}

/** The code cells, in order. */
export function codeCells(notebook: Notebook): CodeCell[] {
  return notebook.cells.filter((cell): cell is CodeCell => cell.cell_type === 'code');
}

/** Which sheet the notebook is of: the name that its marked cells agree on. */
export function sheetOf(notebook: Notebook): string | undefined {
  const names = new Set(notebook.cells.map((cell) => markOf(cell)?.sheet).filter(Boolean));
  return names.size === 1 ? [...names][0] : undefined;
}
