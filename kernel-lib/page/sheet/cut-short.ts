import { Database, settled } from '../database';
import { isTabAlive } from './drafts';

// Where cells run in the page's own process, one that asks for more memory than there is ends the page with it.

/** Which cell of a sheet runs in which tab. */
interface Note {
  /** Of the sheet, as `Session` has it. */
  readonly name: string;
  readonly tab: string;
  /** The cell, in words. */
  readonly where: string;
}

const notes = new Database('multislit.running', 'notes', { keyPath: 'tab' });

/** Where nothing can be kept, nothing can be said afterwards. */
const inNotes = <T>(
  mode: IDBTransactionMode,
  act: (notes: IDBObjectStore) => IDBRequest<T>,
): Promise<T | undefined> =>
  notes.within(mode, (kept) => settled(act(kept))).catch(() => undefined);

/** Notes which cell runs, so that a page that ended with it can say so when it is opened again. */
export class CutShort {
  constructor(
    private readonly name: string,
    private readonly tab: string,
  ) {}

  /** Resolves when it is noted. */
  async begins(where: string): Promise<void> {
    const note: Note = { name: this.name, tab: this.tab, where };
    await inNotes('readwrite', (kept) => kept.put(note));
  }

  async ends(): Promise<void> {
    await inNotes('readwrite', (kept) => kept.delete(this.tab));
  }
}

/** A sentence where the page ended while a cell of this sheet ran; empty where it did not. Said once. */
export async function saidCutShort(name: string, tab: string): Promise<string> {
  const left = await inNotes<Note[]>('readonly', (kept) => kept.getAll());
  let said = '';
  for (const note of left ?? []) {
    if (note.name !== name || (note.tab !== tab && (await isTabAlive(note.tab)))) continue;
    await inNotes('readwrite', (kept) => kept.delete(note.tab));
    said = `This page ended while the cell ${note.where} ran. Unless you closed or loaded it yourself, that cell may have asked for more memory than the browser has. What you typed is here; look at the cell before you run it again.`;
  }
  return said;
}
