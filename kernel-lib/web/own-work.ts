import {
  isAdded,
  type Notebook,
  sourceOf,
  studentNumberCell,
  studentNumberOf,
  takesWork,
} from '../notebook/notebook';
import { shortDigest } from '../numerics/random';
import { sampleStudent, studentNumberIn } from '../questions/student-number';

/** A digest of all that a student wrote. Results, figures and the student number do not count: they come out again. */
export function digestOfAll(notebook: Notebook): string {
  const own = notebook.cells.filter(
    (cell) => (takesWork(cell) || isAdded(cell)) && cell.id !== studentNumberCell,
  );
  return shortDigest(JSON.stringify(own.map((cell) => [cell.id, sourceOf(cell)])), [1, 2]);
}

/** The number of a person that a notebook carries; undefined for the sample's, or none. */
export function ownNumberIn(notebook: Notebook): string | undefined {
  const number = studentNumberIn(studentNumberOf(notebook) ?? '');
  return number === sampleStudent ? undefined : number;
}
