import {
  isAdded,
  type Notebook,
  sourceOf,
  studentNumberCell,
  studentNumberOf,
  takesWork,
} from '../notebook/notebook';
import { murmur3 } from '../numerics/random';
import { sampleStudent } from '../questions/student-number';

/** A digest of all that a student wrote. Results, figures and the student number do not count: they come out again. */
export function digestOfAll(notebook: Notebook): string {
  const own = notebook.cells.filter(
    (cell) => (takesWork(cell) || isAdded(cell)) && cell.id !== studentNumberCell,
  );
  const bytes = new TextEncoder().encode(
    JSON.stringify(own.map((cell) => [cell.id, sourceOf(cell)])),
  );
  return [1, 2].map((seed) => murmur3(bytes, seed).toString(16).padStart(8, '0')).join('');
}

/** The number of a person that a notebook carries; undefined for the sample's, or none. */
export function ownNumberIn(notebook: Notebook): string | undefined {
  const number = studentNumberOf(notebook);
  return number && number !== sampleStudent && /^\d{4,10}$/.test(number) ? number : undefined;
}
