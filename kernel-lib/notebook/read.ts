import { type Notebook, NotebookError } from './notebook';
import { withPresentNames } from './present-names';
import { upgraded } from './upgrade';
import { notebookFault } from './validate';

interface Versioned {
  nbformat?: unknown;
  nbformat_minor?: unknown;
  cells?: unknown;
}

/** A thing out of JSON in a few words, whatever it is: nothing of its own is ever called. */
const said = (value: unknown) =>
  typeof value === 'number' || (typeof value === 'string' && value.length < 20)
    ? String(value)
    : '?';

/**
 * Read the text of an .ipynb file.
 *
 * Accepts nbformat 4.0 and later 4.x, and brings what is before 4.5 to 4.5; a cell id given twice is refused, since
 * marks hang on ids. Cells of a sheet that was handed out under earlier names come out under those of today.
 *
 * @throws NotebookError with one sentence: what is wrong and how to mend it
 */
export function readNotebook(text: string): Notebook {
  const parsed = parse(text);
  const { nbformat, nbformat_minor: minor } = parsed;
  if (nbformat !== 4 || typeof minor !== 'number') {
    throw new NotebookError(
      `The notebook is in format ${said(nbformat)}.${said(minor)}, but 4.0 to 4.5 are read. Open it in a current Jupyter, save it, and try again.`,
    );
  }
  const value = upgraded(parsed as Readonly<Record<string, unknown>>);
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
    throw new NotebookError(whyNoJson(text.trim(), error as Error));
  }
  if (typeof value !== 'object' || value === null || !('cells' in value || 'nbformat' in value)) {
    throw new NotebookError(
      'The file is JSON, but not a notebook: it has no cells. Choose a file that ends in .ipynb.',
    );
  }
  return value as Versioned;
}

function whyNoJson(text: string, { message }: Error): string {
  if (text === '')
    return 'The file is empty; a notebook was expected. Fetch a fresh copy of the sheet.';
  return text.startsWith('{')
    ? `The file is not a notebook: it is not JSON (${message}). It may have been cut off while it was copied; fetch it again.`
    : 'The file is not a notebook, nor the beginning of one. Choose a file that ends in .ipynb, as the sheet was saved.';
}

function firstRepeated(ids: readonly string[]): string | undefined {
  const seen = new Set<string>();
  return ids.find((id) => seen.size === seen.add(id).size);
}
