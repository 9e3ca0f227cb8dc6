import { ownCell, sourceOf } from '../../notebook/notebook';

import type { DeskList } from '../../travels/listed-sheet';
import { call } from '../net/call';
import { KernelLink } from '../net/kernel-link';
import { type NotebookFile, readNotebookFile } from '../net/notebook-file';
import { Store } from '../store';
import { claimTab, dropDraft, leftDrafts } from './drafts';
import { Runner } from './runner';
import { Saver, saveFault } from './saver';
import { OwnCells, SheetModel } from './sheet-model';

const keyOf = (path: string) => `multislit.fresh:${path}`;

/** Note that the desk has just made this copy, so that its givens may come out by itself when it opens. */
export function rememberFresh(path: string, version: string): void {
  sessionStorage.setItem(keyOf(path), version);
}

/** True once, and only for the very content that the desk made: a file from elsewhere never runs by itself. */
function takeFresh(path: string, version: string): boolean {
  const noted = sessionStorage.getItem(keyOf(path));
  sessionStorage.removeItem(keyOf(path));
  return noted === version;
}

/** Everything that one open sheet consists of. */
export class Session {
  readonly model: SheetModel;
  readonly saver: Saver;
  readonly runner: Runner;
  readonly own: OwnCells;
  readonly list = new Store<DeskList | undefined>(undefined);
  /** A sentence for the reader, until it is put away. */
  readonly notice = new Store<string>('');

  constructor(
    readonly path: string,
    readonly link: KernelLink,
    file: NotebookFile,
    private readonly tab: string,
  ) {
    this.model = new SheetModel(file.notebook);
    this.saver = new Saver(path, this.model, file.version, tab);
    this.runner = new Runner(this.model, link);
    this.own = new OwnCells(this.model);
  }

  /** Take back what was typed and not saved when a tab with this sheet went away. */
  async restoreDrafts(): Promise<void> {
    const clashes: string[] = [];
    let restored = 0;
    for (const { tab, draft } of await leftDrafts(this.path, this.tab)) {
      const sources = new Map<string, string>();
      for (const { id, base, source, own, above = [] } of draft.cells) {
        const cell = this.model.cell(id);
        if (!cell && own) {
          this.model.insert(ownCell(own, id, source), above);
          restored += 1;
          continue;
        }
        const there = cell && sourceOf(cell);
        if (there === source) continue;
        if (there === base) sources.set(id, source);
        else clashes.push(source);
      }
      restored += sources.size;
      this.model.restore(sources);
      if (tab !== this.tab) dropDraft(this.path, tab);
    }
    this.saver.draft.keep();
    const back = restored > 0 ? 'What you typed and was not saved yet is back.' : '';
    const clash =
      clashes.length > 0
        ? ` The sheet was changed elsewhere meanwhile; this text was typed here and was never saved: ${clashes.join('\n')}`
        : '';
    this.notice.set((back + clash).trim());
  }

  /** Ask the desk how the sheets stand. @returns a sentence when it does not tell */
  async readList(): Promise<string | undefined> {
    try {
      this.list.set(await call<DeskList>('GET', '/desk/sheets'));
      return undefined;
    } catch (error) {
      return saveFault(error);
    }
  }
}

/** Open a sheet: the notebook first, the kernel behind it. */
export async function openSession(path: string): Promise<Session> {
  const link = new KernelLink(path);
  const reading = readNotebookFile(path);
  const listing = call<DeskList>('GET', '/desk/sheets');
  const [file, tab] = await Promise.all([reading, claimTab()]);
  const session = new Session(path, link, file, tab);
  await session.restoreDrafts();
  void listing.then(
    (list) => session.list.set(list),
    () => {},
  );
  if (takeFresh(path, file.version)) session.runner.runGiven();
  // After the first paint, so that starting the kernel does not hold the page up.
  requestAnimationFrame(() => setTimeout(() => void link.open()));
  return session;
}
