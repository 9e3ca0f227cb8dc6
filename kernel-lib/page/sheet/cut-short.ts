import { isTabAlive } from './drafts';

// Where cells run in the page's own process, one that asks for more memory than there is ends the page with it.

/** Which cell of a sheet runs in which tab. */
interface Note {
  readonly path: string;
  readonly tab: string;
  /** The cell, in words. */
  readonly where: string;
}

/** In a database, which says when something is on the disk. */
function inNotes<T>(
  mode: IDBTransactionMode,
  act: (notes: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  return new Promise((done, fail) => {
    const opening = indexedDB.open('multislit.running', 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore('notes', { keyPath: 'tab' });
    opening.onerror = () => fail(opening.error);
    opening.onsuccess = () => {
      const transaction = opening.result.transaction('notes', mode);
      const request = act(transaction.objectStore('notes'));
      transaction.oncomplete = () => {
        opening.result.close();
        done(request.result);
      };
      transaction.onabort = () => fail(transaction.error);
    };
  });
}

/** Notes which cell runs, so that a page that ended with it can say so when it is opened again. */
export class CutShort {
  constructor(
    private readonly path: string,
    private readonly tab: string,
  ) {}

  /** Resolves when it is noted; where nothing can be kept, nothing can be said afterwards. */
  async begins(where: string): Promise<void> {
    const note: Note = { path: this.path, tab: this.tab, where };
    await inNotes('readwrite', (notes) => notes.put(note)).catch(() => {});
  }

  async ends(): Promise<void> {
    await inNotes('readwrite', (notes) => notes.delete(this.tab)).catch(() => {});
  }
}

/** A sentence where the page ended while a cell of this sheet ran; empty where it did not. Said once. */
export async function saidCutShort(path: string, tab: string): Promise<string> {
  const notes = await inNotes<Note[]>('readonly', (kept) => kept.getAll()).catch(() => []);
  let said = '';
  for (const note of notes) {
    if (note.path !== path || (note.tab !== tab && (await isTabAlive(note.tab)))) continue;
    await inNotes('readwrite', (kept) => kept.delete(note.tab)).catch(() => {});
    said = `This page ended while the cell ${note.where} ran. Unless you closed or loaded it yourself, that cell may have asked for more memory than the browser has. What you typed is here; look at the cell before you run it again.`;
  }
  return said;
}
