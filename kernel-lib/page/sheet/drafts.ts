import { type AddedKind, type Cell, isAdded, type Output, sourceOf } from '../../notebook/notebook';
import { freshName, heldLocks, keepTabWord, lastingWords, lockManager, tabWord } from '../tab';
import { verdictIn } from './outputs';
import type { SheetModel } from './sheet-model';

/** Longest that typed text is in this page alone, ms. */
const longestUnkept = 150;

const prefix = 'multislit.draft:';

/** @param name of the sheet, as `Session` has it */
const keyOf = (name: string, tab: string) => `${prefix}${name}:${tab}`;

const tabLock = (tab: string) => `multislit.tab:${tab}`;

/** Keeps what is typed and not saved in the tab's storage. */
export class DraftKeeper {
  private base: SavedCells;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly name: string,
    private readonly tab: string,
    private readonly model: SheetModel,
  ) {
    this.base = asSaved(model.cells.value);
    model.onChange(() => {
      this.timer ??= setTimeout(() => this.keep(), longestUnkept);
    });
  }

  /** These cells are saved: only what differs from them is kept from now on. */
  saved(cells: readonly Cell[]): void {
    this.base = asSaved(cells);
    this.keep();
  }

  /** Keep now. */
  keep(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
    const cells = changedCells(this.model.cells.value, this.base);
    if (cells.length === 0) dropDraft(this.name, this.tab);
    else keepDraft(this.name, this.tab, { at: Date.now(), cells });
  }
}

/** A cell that was changed: what stood there when last saved, and what was typed. */
export interface DraftCell {
  readonly id: string;
  readonly base: string;
  readonly source: string;
  /** Of a cell that a student added and that was never saved: its kind, and the ids above it. */
  readonly own?: AddedKind;
  readonly above?: readonly string[];
  /** Of an answer that was checked and not saved yet: what the check showed, and `verdictsOf` what was saved. */
  readonly checked?: { readonly outputs: readonly Output[]; readonly base: string };
}

/** What was typed in a tab and may not be saved yet. */
interface Draft {
  /** When, ms. */
  readonly at: number;
  readonly cells: readonly DraftCell[];
  /** Sheets that said what is in it, though it did not fit them and may be another's. */
  readonly told?: readonly string[];
}

/**
 * This tab's own name, the same after a reload. A lock held as long as the tab lives tells a draft that
 * was left behind from one that another tab still works on.
 */
export async function claimTab(): Promise<string> {
  const before = tabWord('multislit.tab');
  const fresh = freshName();
  for (const name of before ? [before, fresh] : [fresh]) {
    // A duplicated tab takes the session's storage along: then the lock is taken and it gets a new name.
    if (!(await hold(name))) continue;
    keepTabWord('multislit.tab', name);
    return name;
  }
  return fresh;
}

function hold(name: string): Promise<boolean> {
  // Where there are none a duplicated tab takes its drafts for those of the other.
  const locks = lockManager();
  if (!locks) return Promise.resolve(true);
  return new Promise((done) => {
    locks
      .request(tabLock(name), { ifAvailable: true }, (lock) => {
        done(lock !== null);
        return lock ? new Promise(() => {}) : undefined;
      })
      .catch(() => done(true));
  });
}

/** Whether a tab of this name is open. */
export async function isTabAlive(tab: string): Promise<boolean> {
  return (await heldLocks()).has(tabLock(tab));
}

export function keepDraft(name: string, tab: string, draft: Draft): void {
  // Where nothing more can be kept the tab itself still holds what was typed.
  lastingWords()?.setItem(keyOf(name, tab), JSON.stringify(draft));
}

export function dropDraft(name: string, tab: string): void {
  lastingWords()?.removeItem(keyOf(name, tab));
}

/** Whether a sheet of this name has not said yet what is in it. */
export const isNotTold =
  (name: string) =>
  ({ draft }: { draft: Draft }): boolean =>
    !draft.told?.includes(name);

/** Drafts of this tab or of tabs that are gone, oldest first, with the tab each is of. */
export async function leftDrafts(
  name: string,
  tab: string,
): Promise<{ tab: string; draft: Draft }[]> {
  const words = lastingWords();
  const alive = await heldLocks();
  const found: { tab: string; draft: Draft }[] = [];
  for (const key of words?.names() ?? []) {
    if (!key.startsWith(keyOf(name, ''))) continue;
    const owner = key.slice(keyOf(name, '').length);
    if (owner !== tab && alive.has(tabLock(owner))) continue;
    const draft = parse(words?.getItem(key) ?? null);
    if (draft) found.push({ tab: owner, draft });
  }
  return found.sort((one, other) => one.draft.at - other.draft.at);
}

function parse(text: string | null): Draft | undefined {
  try {
    const draft = JSON.parse(text ?? '') as Draft;
    return Array.isArray(draft.cells) ? draft : undefined;
  } catch {
    return undefined;
  }
}

/** What was last saved, by cell id. */
type SavedCells = ReadonlyMap<string, { readonly source: string; readonly verdicts: string }>;

export const asSaved = (cells: readonly Cell[]): SavedCells =>
  new Map(cells.map((cell) => [cell.id, { source: sourceOf(cell), verdicts: verdictsOf(cell) }]));

/** What checks said in a cell's outputs, as text to compare; however a file writes them, it is the same. */
export const verdictsOf = (cell: Cell): string =>
  checkedIn(cell)
    .map((output) => verdictIn(output))
    .map((verdict) => JSON.stringify([verdict?.question, verdict?.state, verdict?.message]))
    .join();

/** The outputs with a verdict. Others are not kept in drafts: they may be large. */
const checkedIn = (cell: Cell): Output[] =>
  cell.cell_type === 'code' ? cell.outputs.filter((output) => verdictIn(output)) : [];

/** The cells that are not as they were last saved; new ones with their place. */
export function changedCells(cells: readonly Cell[], saved: SavedCells): DraftCell[] {
  return cells.flatMap((cell, i): DraftCell[] => {
    const { id } = cell;
    const source = sourceOf(cell);
    const { source: base, verdicts } = saved.get(id) ?? { source: '', verdicts: '' };
    const outputs = checkedIn(cell);
    const isChecked = outputs.length > 0 && verdictsOf(cell) !== verdicts;
    const checked = isChecked ? { checked: { outputs, base: verdicts } } : {};
    if (saved.has(id) || !isAdded(cell))
      return base === source && !isChecked ? [] : [{ id, base, source, ...checked }];
    const own = cell.cell_type === 'code' ? ('working' as const) : ('note' as const);
    return [{ id, base, source, own, above: cells.slice(0, i).map((one) => one.id) }];
  });
}
