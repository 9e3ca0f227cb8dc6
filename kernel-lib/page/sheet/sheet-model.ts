import {
  type AddedKind,
  addedCell,
  type Cell,
  type CodeCell,
  isAdded,
  type Notebook,
  type Output,
  sourceOf,
  withCellBehind,
} from '../../notebook/notebook';
import { type HandedIn, handedInOf, withHandedIn } from '../../travels/handed-in';
import { Store } from '../store';
import { freshName } from '../tab';

/** A notebook being worked on. Cells are never changed in place, so that only what changed is drawn again. */
export class SheetModel {
  readonly cells: Store<readonly Cell[]>;
  /** Counts changes, so that a save knows whether more came while it ran. */
  revision = 0;
  /** Counts loads: editors are made anew when another text was laid in from outside. */
  readonly generation = new Store(0);
  /** Whether the file to hand in was made of the sheet, and whether it is that still. */
  readonly handedIn = new Store<HandedIn | undefined>(undefined);
  private readonly listeners = new Set<() => void>();

  constructor(private notebook: Notebook) {
    this.cells = new Store<readonly Cell[]>(notebook.cells);
    this.lookHandedIn();
  }

  private lookHandedIn(): void {
    const now = handedInOf(this.snapshot());
    const { value } = this.handedIn;
    if (now?.at !== value?.at || now?.changed !== value?.changed) this.handedIn.set(now);
  }

  /** The file to hand in was made of the sheet as it stands. */
  noteHandedIn(at: Date): void {
    this.notebook = { ...this.notebook, metadata: withHandedIn(this.snapshot(), at) };
    this.put(this.cells.value);
  }

  /** The notebook as it stands. */
  snapshot(): Notebook {
    return { ...this.notebook, cells: [...this.cells.value] };
  }

  onChange(listener: () => void): void {
    this.listeners.add(listener);
  }

  cell(id: string): Cell | undefined {
    return this.cells.value.find((cell) => cell.id === id);
  }

  private replace(id: string, change: (cell: Cell) => Cell): void {
    const before = this.cells.value;
    const index = before.findIndex((cell) => cell.id === id);
    if (index < 0) return;
    const changed = change(before[index]);
    if (changed === before[index]) return;
    this.put(before.with(index, changed));
  }

  private put(cells: readonly Cell[]): void {
    this.revision += 1;
    this.cells.set(cells);
    this.lookHandedIn();
    for (const listener of this.listeners) listener();
  }

  /** Put a cell behind the last of those named that is still there. */
  insert(cell: Cell, behind: readonly string[]): void {
    this.put(withCellBehind(this.cells.value, cell, behind));
  }

  remove(id: string): void {
    this.put(this.cells.value.filter((cell) => cell.id !== id));
  }

  edit(id: string, source: string): void {
    this.replace(id, (cell) =>
      cell.metadata.editable === false || sourceOf(cell) === source ? cell : { ...cell, source },
    );
  }

  setOutputs(id: string, outputs: Output[], count?: number | null): void {
    this.replace(id, (cell) =>
      cell.cell_type === 'code'
        ? { ...cell, outputs, execution_count: count === undefined ? cell.execution_count : count }
        : cell,
    );
  }

  code(id: string): CodeCell | undefined {
    const cell = this.cell(id);
    return cell?.cell_type === 'code' ? cell : undefined;
  }

  /** Lay in another notebook, as read from the file. */
  load(notebook: Notebook): void {
    this.notebook = notebook;
    this.revision += 1;
    this.cells.set(notebook.cells);
    this.lookHandedIn();
    this.generation.set(this.generation.value + 1);
  }

  /** Lay in texts from a draft; locked cells stay as they are. */
  restore(sources: ReadonlyMap<string, string>): void {
    for (const [id, source] of sources) this.edit(id, source);
    this.generation.set(this.generation.value + 1);
  }
}

/** A cell that was taken out, with the ids of those that stood above it. */
interface Removed {
  readonly cell: Cell;
  readonly above: readonly string[];
}

/** Adds cells of the student's own, and takes them out so that they can be put back. */
export class AddedCells {
  /** Those taken out on this page, the latest last. */
  readonly removed = new Store<readonly Removed[]>([]);

  constructor(private readonly model: SheetModel) {}

  private above(id: string): string[] {
    const ids = this.model.cells.value.map((cell) => cell.id);
    return ids.slice(0, ids.indexOf(id));
  }

  /** A new cell just below the cell `id`. @returns its id */
  addBelow(id: string, kind: AddedKind): string {
    return this.insert(kind, [...this.above(id), id]);
  }

  /** A new cell just above the cell `id`. @returns its id */
  addAbove(id: string, kind: AddedKind): string {
    return this.insert(kind, this.above(id));
  }

  private insert(kind: AddedKind, above: readonly string[]): string {
    const cell = addedCell(kind, `own-${freshName().slice(0, 13)}`);
    this.model.insert(cell, above);
    return cell.id;
  }

  /** Take a cell out; one of the sheet's own stays. */
  remove(id: string): void {
    const cell = this.model.cell(id);
    if (!cell || !isAdded(cell)) return;
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
