import type { Cell } from '../../notebook/notebook';
import { isOwn, type OwnKind, ownCell } from '../../notebook/own-cells';
import { Store } from '../net/store';
import type { SheetModel } from './sheet-model';

/** A cell that was taken out, with the ids of those that stood above it. */
interface Removed {
  readonly cell: Cell;
  readonly above: readonly string[];
}

/** Adds cells of the student's own, and takes them out so that they can be put back. */
export class OwnCells {
  /** Those taken out on this page, the latest last. */
  readonly removed = new Store<readonly Removed[]>([]);

  constructor(private readonly model: SheetModel) {}

  private above(id: string): string[] {
    const ids = this.model.cells.value.map((cell) => cell.id);
    return ids.slice(0, ids.indexOf(id));
  }

  /** A new cell just below the cell `id`. @returns its id */
  addBelow(id: string, kind: OwnKind): string {
    return this.insert(kind, [...this.above(id), id]);
  }

  /** A new cell just above the cell `id`. @returns its id */
  addAbove(id: string, kind: OwnKind): string {
    return this.insert(kind, this.above(id));
  }

  private insert(kind: OwnKind, above: readonly string[]): string {
    const cell = ownCell(kind, `own-${crypto.randomUUID().slice(0, 13)}`);
    this.model.insert(cell, above);
    return cell.id;
  }

  /** Take a cell out; one of the sheet's own stays. */
  remove(id: string): void {
    const cell = this.model.cell(id);
    if (!cell || !isOwn(cell)) return;
    const above = this.above(id);
    this.model.remove(id);
    this.removed.set([...this.removed.value, { cell, above }]);
  }

  /** Put the latest one taken out back, with what it showed. @returns its id */
  putBack(): string | undefined {
    const last = this.removed.value.at(-1);
    if (!last) return undefined;
    this.removed.set(this.removed.value.slice(0, -1));
    if (!this.model.cell(last.cell.id)) this.model.insert(last.cell, last.above);
    return last.cell.id;
  }

  /** Let go of what was taken out. */
  forget(): void {
    this.removed.set([]);
  }
}
