import { type Cell, type Notebook, sourceOf } from '../notebook/notebook';
import { shortDigest } from '../numerics/random';

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
