import { type Notebook, NotebookError } from './notebook';
import { withPresentNames } from './present-names';
import { notebookFault } from './validate';

interface Versioned {
  nbformat?: unknown;
  nbformat_minor?: unknown;
  cells?: unknown;
}

/**
 * Read the text of an .ipynb file.
 *
 * Accepts nbformat 4.5 and later 4.x; a cell id given twice is refused, since marks hang on ids. Cells of a sheet
 * that was handed out under earlier names come out under those of today.
 *
 * @throws NotebookError with one sentence: what is wrong and how to mend it
 */
export function readNotebook(text: string): Notebook {
  const value = parse(text);
  const { nbformat, nbformat_minor: minor } = value;
  if (nbformat !== 4 || typeof minor !== 'number' || minor < 5) {
    throw new NotebookError(
      `The notebook is in format ${String(nbformat)}.${String(minor)}, but 4.5 is needed. Open it in a current Jupyter, save it, and try again.`,
    );
  }
  const fault = notebookFault(value);
  if (fault !== undefined) {
    throw new NotebookError(
      `The notebook is damaged at ${fault}. Go back to a copy that was not edited by hand.`,
    );
  }
  const notebook = value as unknown as Notebook;
  const twice = firstRepeated(notebook.cells.map((cell) => cell.id));
  if (twice !== undefined) {
    throw new NotebookError(
      `Two cells of the notebook have the same id "${twice}". Go back to a copy in which each cell has its own.`,
    );
  }
  return withPresentNames(notebook);
}

function parse(text: string): Versioned {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new NotebookError(
      text.trim() === ''
        ? 'The file is empty; a notebook was expected. Fetch a fresh copy of the sheet.'
        : `The file is not a notebook: it is not JSON (${(error as Error).message}). It may have been cut off while it was copied; fetch it again.`,
    );
  }
  if (typeof value !== 'object' || value === null || !('cells' in value || 'nbformat' in value)) {
    throw new NotebookError(
      'The file is JSON, but not a notebook: it has no cells. Choose a file that ends in .ipynb.',
    );
  }
  return value as Versioned;
}

function firstRepeated(ids: readonly string[]): string | undefined {
  const seen = new Set<string>();
  return ids.find((id) => seen.size === seen.add(id).size);
}
