import type { Notebook } from '../../notebook/notebook';
import { writeNotebook } from '../../notebook/write-notebook';
import { shortDigest } from '../../numerics/random';
import { type FileStore, isFault, type NotebookFile, StoreError } from '../net/host';
import { Store } from '../store';
import { channel, keepTabWord, tabWord } from '../tab';
import { DraftKeeper } from './drafts';
import type { SheetModel } from './sheet-model';

export type SaveState =
  | { kind: 'saved'; at: Date | undefined }
  | { kind: 'unsaved' }
  | { kind: 'saving' }
  /** Trying again by itself; `why` is a sentence. */
  | { kind: 'waiting'; why: string }
  /** The file was changed elsewhere: the reader chooses. */
  | { kind: 'conflict'; other: NotebookFile };

const quiet = 700;
const longest = 4000;
const retry = [500, 1000, 2000, 4000];
/** How often a sheet that goes on changing is saved before it is told so. */
const mostTurns = 10;

/** Saves the sheet by itself, and holds on to what is typed until it is saved. */
export class Saver {
  readonly state = new Store<SaveState>({ kind: 'saved', at: undefined });
  readonly draft: DraftKeeper;
  private savedRevision: number;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private firstChange = 0;
  private failures = 0;
  private running: Promise<void> | undefined;
  private readonly others = channel('multislit.saved');

  constructor(
    readonly path: string,
    private readonly model: SheetModel,
    private readonly files: FileStore,
    private version: string,
    tab: string,
    /** Under which the browser keeps its drafts. */
    name = path,
  ) {
    this.savedRevision = model.revision;
    this.draft = new DraftKeeper(name, tab, model);
    model.onChange(() => this.changed());
    if (this.others)
      this.others.onmessage = ({ data }) => {
        if (data === path) void this.refresh();
      };
  }

  get dirty(): boolean {
    return this.model.revision !== this.savedRevision;
  }

  private changed(): void {
    if (this.firstChange === 0) this.firstChange = Date.now();
    if (this.state.value.kind === 'conflict') return;
    if (this.state.value.kind === 'saved') this.state.set({ kind: 'unsaved' });
    if (this.state.value.kind === 'waiting') return;
    this.schedule(Math.max(0, Math.min(quiet, this.firstChange + longest - Date.now())));
  }

  private schedule(after: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.save(), after);
  }

  /** Save now; does nothing when all is saved. Never throws: the state says how it went. */
  save(): Promise<void> {
    clearTimeout(this.timer);
    this.running ??= this.saveOnce().finally(() => {
      this.running = undefined;
      if (this.dirty && ['unsaved', 'saved'].includes(this.state.value.kind)) this.changed();
    });
    return this.running;
  }

  private async saveOnce(): Promise<void> {
    if (!this.dirty || this.state.value.kind === 'conflict') return;
    const { revision } = this.model;
    const notebook = this.model.snapshot();
    this.firstChange = 0;
    if (this.state.value.kind !== 'waiting') this.state.set({ kind: 'saving' });
    noteSent(this.path, notebook);
    try {
      const version = await this.files.save(this.path, notebook, this.version);
      this.saved(version, notebook, revision);
      this.others?.postMessage(this.path);
    } catch (error) {
      if (isFault(error, 'changed')) await this.differs(notebook, revision);
      else this.wait(error);
    }
  }

  private saved(version: string, notebook: Notebook, revision: number): void {
    this.version = version;
    this.savedRevision = revision;
    this.failures = 0;
    this.state.set(this.dirty ? { kind: 'unsaved' } : { kind: 'saved', at: new Date() });
    this.draft.saved(notebook.cells);
  }

  private wait(error: unknown): void {
    this.state.set({ kind: 'waiting', why: saveFault(error) });
    this.schedule(retry[Math.min(this.failures, retry.length - 1)]);
    this.failures += 1;
  }

  /** The file is not as this page knew it: our own save whose answer was lost, or somebody else's. */
  private async differs(mine: Notebook, revision: number): Promise<void> {
    try {
      const other = await this.files.read(this.path);
      if (writeNotebook(other.notebook) === writeNotebook(mine))
        this.saved(other.version, mine, revision);
      else if (wasSent(this.path, other.notebook)) {
        // It arrived after the page was loaded anew, whose draft holds all that was typed: this goes on from there.
        this.version = other.version;
        this.state.set({ kind: 'unsaved' });
      } else this.state.set({ kind: 'conflict', other });
    } catch (error) {
      if (isFault(error, 'missing')) this.version = 'nothing';
      this.wait(isFault(error, 'damaged') ? damaged(error) : error);
    }
  }

  /**
   * Save, and see that the file is what this page shows.
   *
   * @returns a sentence that says why it is not; undefined when it is
   */
  async settle(): Promise<string | undefined> {
    // A save that was under way took in what stood there when it began: the rest comes with another.
    for (let turn = 0; turn < mostTurns; turn++) {
      if (this.dirty || this.running) await this.save();
      const { value } = this.state;
      if (value.kind === 'conflict')
        return 'This sheet was changed somewhere else. Choose which version to go on with.';
      if (value.kind === 'waiting') return value.why;
      if (this.dirty || this.running) continue;
      const { version } = this;
      try {
        const there = await this.files.versionOf(this.path);
        // Saved by this page meanwhile: looked at again.
        if (this.dirty || this.running || this.version !== version) continue;
        if (there === version) return undefined;
        await this.refresh();
        return 'This sheet was changed somewhere else, and what was saved there now stands here. Look at it, then try again.';
      } catch (error) {
        return saveFault(error);
      }
    }
    return 'The sheet is still changing. Wait until nothing runs, then try again.';
  }

  /** Take in what was saved elsewhere, as long as nothing waits to be saved here. */
  async refresh(): Promise<void> {
    if (this.dirty || this.running) return;
    try {
      if ((await this.files.versionOf(this.path)) === this.version) return;
      const other = await this.files.read(this.path);
      if (!this.dirty) this.take(other);
    } catch {
      // Whoever types next hears about it from the save.
    }
  }

  private take({ notebook, version }: NotebookFile): void {
    this.model.load(notebook);
    this.saved(version, notebook, this.model.revision);
  }

  /**
   * End a conflict. The version not chosen is kept beside the sheet as a file of its own.
   *
   * @returns the name of that file
   */
  async choose(which: 'mine' | 'other'): Promise<string> {
    const { state } = this;
    if (state.value.kind !== 'conflict') throw new Error('There is nothing to choose.');
    const { other } = state.value;
    const aside = asideName(this.path, new Date());
    const put = which === 'mine' ? other.notebook : this.model.snapshot();
    await this.files.save(aside, put, 'nothing');
    if (which === 'other') this.take(other);
    else {
      this.version = other.version;
      state.set({ kind: 'unsaved' });
      await this.save();
    }
    return aside;
  }
}

/** Digests of what this tab sent last, also before the page was loaded anew. */
const sentWord = (path: string) => `multislit.sent:${path}`;
const sent = (path: string) => tabWord(sentWord(path))?.split(' ') ?? [];
const digestOf = (notebook: Notebook) => shortDigest(writeNotebook(notebook), [1, 2]);
const wasSent = (path: string, notebook: Notebook) => sent(path).includes(digestOf(notebook));

/** Sent more often than this without an answer, the page has been told for long that nothing is saved. */
const mostSent = 8;

function noteSent(path: string, notebook: Notebook): void {
  const all = [...sent(path).slice(1 - mostSent), digestOf(notebook)];
  keepTabWord(sentWord(path), all.join(' '));
}

const damaged = ({ message }: Error) =>
  new Error(
    `${message} Nothing typed is lost while this page stays open: give the damaged file another name, and the sheet is saved whole.`,
  );

/** Why a save did not go through, as a sentence with what to do. */
export function saveFault(error: unknown): string {
  const { message } = error as Error;
  if (!(error instanceof StoreError)) return message;
  if (error.fault === 'stranger') return error.advice;
  if (error.fault !== 'away' && error.fault !== 'closed') return message;
  return `${message} Nothing typed is lost while this page stays open. ${error.advice}`.trim();
}

/** `02-one-slit.ipynb` put aside at 14:02:07 becomes `02-one-slit put aside 2026-11-25 14.02.07.ipynb`. */
export function asideName(path: string, at: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  const day = [at.getFullYear(), two(at.getMonth() + 1), two(at.getDate())].join('-');
  const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join('.');
  return path.replace(/(\.ipynb)?$/, ` put aside ${day} ${time}.ipynb`);
}
