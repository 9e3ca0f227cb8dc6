import { type Notebook, NotebookError } from '../notebook/notebook';
import { readNotebook } from '../notebook/read';
import { Problem } from './problem';

/**
 * Read a notebook that the reader knows as `name`.
 *
 * @throws Problem (409) with one sentence when it is damaged
 */
export function readNotebookAs(text: string, name: string): Notebook {
  try {
    return readNotebook(text);
  } catch (error) {
    if (error instanceof NotebookError) throw new Problem(409, `${name}: ${error.message}`);
    throw error;
  }
}
