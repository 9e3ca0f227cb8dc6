import { type Cell, type Notebook, sheetOf, sourceOf, studentNumberOf } from '../notebook/notebook';
import { shortDigest } from '../numerics/random';
import { readStudentNumber, sampleStudent } from '../questions/student-number';

/** That the file to hand in was made of a sheet. */
export interface HandedIn {
  /** When, ISO 8601. */
  readonly at: string;
  /** Whether anything was written since. */
  readonly changed: boolean;
}

/** Where it is kept: in the notebook's metadata under the one key `multislit`. A marker never looks there. */
interface Kept {
  readonly handedIn?: { readonly at?: unknown; readonly text?: unknown };
}

/** A short digest of all that is written. */
const digestOf = (cells: readonly Cell[]): string =>
  shortDigest(cells.map((cell) => `${cell.id}\u0001${sourceOf(cell)}`).join('\u0000'), [3]);

const keptIn = (metadata: Notebook['metadata']): Kept =>
  typeof metadata.multislit === 'object' && metadata.multislit !== null ? metadata.multislit : {};

/** The notebook's metadata, with a note that it was handed in as it stands. */
export function withHandedIn({ metadata, cells }: Notebook, at: Date): Notebook['metadata'] {
  const handedIn = { at: at.toISOString(), text: digestOf(cells) };
  return { ...metadata, multislit: { ...keptIn(metadata), handedIn } };
}

/** Whether a sheet was handed in, as its own notebook tells; undefined where it was not. */
export function handedInOf(notebook: Pick<Notebook, 'metadata' | 'cells'>): HandedIn | undefined {
  const { at, text } = keptIn(notebook.metadata).handedIn ?? {};
  if (typeof at !== 'string' || Number.isNaN(Date.parse(at))) return undefined;
  return { at, changed: text !== digestOf(notebook.cells) };
}

/** What is handed in: whose, of which sheet. */
export interface HandIn {
  readonly student: string;
  readonly sheet: string;
  /** The file's name, by which a marker tells returns apart. */
  readonly name: string;
}

/** What this notebook is handed in as, or one sentence that says why it cannot be and how to mend it. */
export function handInOf(notebook: Notebook): HandIn | { readonly refusal: string } {
  const sheet = sheetOf(notebook);
  if (sheet === undefined)
    return {
      refusal:
        'This notebook is no worksheet, so there is nothing to hand in. Open the sheet from the front page and hand that in.',
    };
  const given = studentNumberOf(notebook);
  const how = `At the top of the sheet, let the line read const studentNumber = '204117'; with your own number between the quotes, then press “Run from the top”.`;
  if (given === undefined || given === '')
    return { refusal: `The sheet has no student number. ${how}` };
  if (given === sampleStudent)
    return {
      refusal: `The sheet still has the sample student's number, ${given}, so its numbers are not yours. ${how}`,
    };
  try {
    const student = readStudentNumber(given);
    return { student, sheet, name: `${student}-${sheet}.ipynb` };
  } catch {
    return {
      refusal: `A student number has 4 to 10 digits and nothing else; the sheet has “${given.slice(0, 40)}”. ${how}`,
    };
  }
}
