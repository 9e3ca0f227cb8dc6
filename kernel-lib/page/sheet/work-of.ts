import { markOf } from '../../notebook/marks';
import type { Cell, CodeCell } from '../../notebook/notebook';
import { isOwn } from '../../notebook/own-cells';
import { studentNumberCell } from '../../notebook/student-number';
import { sourceOf } from '../../notebook/text';
import { murmur3 } from '../../numerics/random';
import { partsOf } from './parts';

/** The working of a question: its work cells, and code of the student's own between them and above the answer. */
export function workCellsOf(cells: readonly Cell[], question: string): CodeCell[] {
  return partsOf(cells)
    .filter((part) => part.question === question)
    .flatMap((part) => {
      const answer = part.cells.findIndex((cell) => markOf(cell)?.role === 'answer');
      return answer < 0 ? part.cells : part.cells.slice(0, answer);
    })
    .filter((cell) => cell.cell_type === 'code')
    .filter((cell) => isOwn(cell) || markOf(cell)?.role === 'work');
}

/**
 * A short digest of the student number and the working of a question, to tell whether it is still what
 * was checked. 64 bits of MurmurHash3: enough against accidents, no proof against anyone.
 */
export function digestOfWork(cells: readonly Cell[], question: string): string {
  const number = cells.filter(({ id }) => id === studentNumberCell);
  const text = [...number, ...workCellsOf(cells, question)].map(sourceOf).join('\n\u0000');
  const bytes = new TextEncoder().encode(text);
  return [1, 2].map((seed) => murmur3(bytes, seed).toString(16).padStart(8, '0')).join('');
}
