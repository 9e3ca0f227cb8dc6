import { addedCell, type Cell, sourceOf, tagOf } from '../../notebook/notebook';
import type { SheetList } from '../../travels/sheet-list';
import type { Host, KernelLine, NotebookFile } from '../net/host';
import { Store } from '../store';
import { keepTabWord, tabWord } from '../tab';
import { CutShort, saidCutShort } from './cut-short';
import {
  claimTab,
  type DraftCell,
  dropDraft,
  isNotTold,
  keepDraft,
  leftDrafts,
  verdictsOf,
} from './drafts';
import { OtherTabs } from './other-tabs';
import { RanTexts } from './ran-texts';
import { Runner } from './runner';
import { Saver, saveFault } from './saver';
import { AddedCells, SheetModel } from './sheet-model';

/** Everything that one open sheet consists of. */
export class Session {
  readonly model: SheetModel;
  readonly saver: Saver;
  readonly runner: Runner;
  readonly added: AddedCells;
  readonly ranTexts: RanTexts;
  readonly otherTabs: OtherTabs;
  readonly list = new Store<SheetList | undefined>(undefined);
  /** Counts files made of the sheet while it is open. */
  readonly made = new Store(0);
  /** A sentence for the reader, until it is put away. */
  readonly notice = new Store<string>('');
  /** Under which the browser keeps what belongs to this sheet: sites of one origin have sheets of the same path. */
  private readonly name: string;

  constructor(
    readonly path: string,
    readonly kernel: KernelLine,
    readonly host: Host,
    file: NotebookFile,
    private readonly tab: string,
  ) {
    this.name = `${host.place}${path}`;
    this.model = new SheetModel(file.notebook);
    this.saver = new Saver(path, this.model, host.files, file.version, tab, this.name);
    this.ranTexts = new RanTexts(this.name, path, this.model);
    this.runner = new Runner(
      this.model,
      kernel,
      (id, code) => this.ranTexts.note(id, code),
      kernel.mayEndPage ? this.beforehand() : undefined,
    );
    this.added = new AddedCells(this.model);
    this.otherTabs = new OtherTabs(host.place, path, tab);
  }

  /** The page shows something else from now on. */
  close(): void {
    this.otherTabs.leave();
    this.kernel.close?.();
  }

  /** What is typed, and which cell runs, is on the disk before it runs: it may end this page. */
  private beforehand() {
    const cutShort = new CutShort(this.name, this.tab);
    return {
      begins: async (cell: Cell) => {
        await this.saver.save();
        const question = tagOf(cell)?.question;
        await cutShort.begins(question ? `of question ${question}` : 'at the top of the sheet');
      },
      ends: () => cutShort.ends(),
    };
  }

  /** Take back what was typed and not saved when a tab with this sheet went away. */
  async restoreDrafts(): Promise<void> {
    const clashes: string[] = [];
    let restored = 0;
    const { name, path } = this;
    // Those by the path alone are of a time when sites were not told apart: this one's, or another's.
    const old = name === path ? [] : (await leftDrafts(path, this.tab)).filter(isNotTold(name));
    for (const { tab, draft } of [...old, ...(await leftDrafts(name, this.tab))]) {
      const sources = new Map<string, string>();
      for (const { id, base, source, own, above = [], checked } of draft.cells) {
        const cell = this.model.cell(id);
        // A verdict that came just before the page went: unless another was saved meanwhile.
        if (checked && cell && verdictsOf(cell) === checked.base) {
          this.model.setOutputs(id, [...checked.outputs]);
          restored += 1;
        }
        if (!cell && own) {
          this.model.insert(addedCell(own, id, source), above);
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
      if (tab !== this.tab) dropDraft(name, tab);
    }
    this.saver.draft.keep();
    for (const { tab, draft } of old)
      if (draft.cells.every((one) => this.fits(one))) dropDraft(path, tab);
      else keepDraft(path, tab, { ...draft, told: [...(draft.told ?? []), name] });
    const back = restored > 0 ? 'What was typed or checked and not saved yet is back.' : '';
    const clash =
      clashes.length > 0
        ? ` The sheet was changed elsewhere meanwhile; this text was typed here and was never saved: ${clashes.join('\n')}`
        : '';
    const cutShort = this.kernel.mayEndPage ? await saidCutShort(name, this.tab) : '';
    this.notice.set(`${cutShort} ${back}${clash}`.trim());
  }

  /** Whether what was typed was typed over what stands here. */
  private fits({ id, base, source }: DraftCell): boolean {
    const cell = this.model.cell(id);
    return !cell || [base, source].includes(sourceOf(cell));
  }

  /** Ask how the sheets stand. @returns a sentence when it does not tell */
  async readList(): Promise<string | undefined> {
    try {
      this.list.set(await this.host.files.list());
      return undefined;
    } catch (error) {
      return saveFault(error);
    }
  }
}

/** Open a sheet: the notebook first, the kernel behind it. */
export async function openSession(host: Host, path: string): Promise<Session> {
  const kernel = host.kernelFor(path);
  const reading = host.files.read(path);
  const listing = host.files.list();
  const [file, tab] = await Promise.all([reading, claimTab()]);
  const session = new Session(path, kernel, host, file, tab);
  await session.restoreDrafts();
  void listing.then(
    (list) => session.list.set(list),
    () => {},
  );
  if (takeFresh(path, file.version)) session.runner.runGiven();
  // After the first paint, so that starting the kernel does not hold the page up.
  requestAnimationFrame(() => setTimeout(() => void kernel.open()));
  return session;
}

const keyOf = (path: string) => `multislit.fresh:${path}`;

/** Note that this copy has just been made, so that its givens may come out by itself when it opens. */
export function rememberFresh(path: string, version: string): void {
  keepTabWord(keyOf(path), version);
}

/** True once, and only for the very content that was made then: a file from elsewhere never runs by itself. */
function takeFresh(path: string, version: string): boolean {
  const noted = tabWord(keyOf(path));
  keepTabWord(keyOf(path), null);
  return noted === version;
}
