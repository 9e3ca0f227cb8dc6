import type { Cell } from '../../notebook/notebook';
import type { SheetModel } from '../sheet/sheet-model';
import { changedCells, type SavedSources, sourcesOf } from './changed-cells';
import { dropDraft, keepDraft } from './drafts';

/** Longest that typed text is in this page alone, ms. */
const soon = 150;

/** Keeps what is typed and not saved in the tab's storage. */
export class DraftKeeper {
  private base: SavedSources;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly path: string,
    private readonly tab: string,
    private readonly model: SheetModel,
  ) {
    this.base = sourcesOf(model.cells.value);
    model.onChange(() => {
      this.timer ??= setTimeout(() => this.keep(), soon);
    });
  }

  /** These cells are saved: only what differs from them is kept from now on. */
  saved(cells: readonly Cell[]): void {
    this.base = sourcesOf(cells);
    this.keep();
  }

  /** Keep now. */
  keep(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
    const cells = changedCells(this.model.cells.value, this.base);
    if (cells.length === 0) dropDraft(this.path, this.tab);
    else keepDraft(this.path, this.tab, { at: Date.now(), cells });
  }
}
