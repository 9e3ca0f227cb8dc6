import { cellById } from './marks';
import type { Notebook } from './notebook';
import { sourceOf } from './text';

/** Every sheet has a cell with this id, in which the student number stands. */
export const studentNumberCell = 'student-number';

const line = /(\bstudentNumber\s*=\s*)(['"`])([^'"`\n]*)\2/;

/** The number that stands in the notebook; undefined when there is no such cell or line. */
export function studentNumberOf(notebook: Notebook): string | undefined {
  const cell = cellById(notebook, studentNumberCell);
  return cell && line.exec(sourceOf(cell))?.[3].trim();
}

/** A copy of the notebook in which `number` stands as the student number; the rest of the cell stays. */
export function withStudentNumber(notebook: Notebook, number: string): Notebook {
  const cells = notebook.cells.map((cell) => {
    if (cell.id !== studentNumberCell) return cell;
    return { ...cell, source: sourceOf(cell).replace(line, `$1$2${number}$2`) };
  });
  return { ...notebook, cells };
}
