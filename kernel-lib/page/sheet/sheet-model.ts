import type { Cell, CodeCell, Notebook, Output } from '../../notebook/notebook';
import { withCellBehind } from '../../notebook/own-cells';
import { sourceOf } from '../../notebook/text';
import { Store } from '../net/store';

/** A notebook being worked on. Cells are never changed in place, so that only what changed is drawn again. */
export class SheetModel {
  readonly cells: Store<readonly Cell[]>;
  /** Counts changes, so that a save knows whether more came while it ran. */
  revision = 0;
  /** Counts loads: editors are made anew when another text was laid in from outside. */
  readonly generation = new Store(0);
  private readonly listeners = new Set<() => void>();

  constructor(private notebook: Notebook) {
    this.cells = new Store<readonly Cell[]>(notebook.cells);
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
    this.generation.set(this.generation.value + 1);
  }

  /** Lay in texts from a draft; locked cells stay as they are. */
  restore(sources: ReadonlyMap<string, string>): void {
    for (const [id, source] of sources) this.edit(id, source);
    this.generation.set(this.generation.value + 1);
  }
}
