import { type CellNames, Dependencies } from '../../cells/follow';
import { listed } from '../../figures/shown';
import { type Cell, sourceOf, studentNumberOf, tagOf } from '../../notebook/notebook';
import { sampleStudent } from '../../questions/student-number';
import { Store } from '../store';
import { lastingWords } from '../tab';
import type { SheetModel } from './sheet-model';

/** Where the reader's choice is kept. */
const chosen = 'multislit.bringAlong';

/** What checks have from the cell with the givens, though they do not name it. */
const begun = 'the sheet as it was begun';

/** What depends on what among the cells that ran in this kernel, and whether it is brought along. */
export class Following {
  /** Whether what depends on a cell runs after it. */
  readonly on: Store<boolean>;
  private readonly names = new Map<string, CellNames>();
  private known: { cells: readonly Cell[]; dependencies: Dependencies } | undefined;

  constructor(
    private readonly model: SheetModel,
    private readonly memory: Pick<Storage, 'getItem' | 'setItem'> | undefined = lastingWords(),
  ) {
    this.on = new Store(this.wasChosen() ?? isTutors(model));
  }

  private wasChosen(): boolean | undefined {
    const kept = this.memory?.getItem(chosen);
    return kept === 'yes' ? true : kept === 'no' ? false : undefined;
  }

  /** Take the reader's choice, for this and later sheets. */
  choose(on: boolean): void {
    this.memory?.setItem(chosen, on ? 'yes' : 'no');
    this.on.set(on);
  }

  /** A cell has run. @param names what it has to do with variables; undefined where it did not convert */
  note(id: string, names: CellNames | undefined): void {
    if (names) this.names.set(id, names);
    else this.names.delete(id);
    this.known = undefined;
  }

  /** Another kernel: nothing has run in it. */
  forget(): void {
    this.names.clear();
    this.known = undefined;
  }

  private get dependencies(): Dependencies {
    const { value: cells } = this.model.cells;
    if (this.known && sameOrder(this.known.cells, cells)) return this.known.dependencies;
    const code = cells.filter((cell) => cell.cell_type === 'code');
    const dependencies = new Dependencies(
      code.map((cell) => ({ id: cell.id, names: withBegun(cell, this.names.get(cell.id)) })),
    );
    this.known = { cells, dependencies };
    return dependencies;
  }

  /**
   * The cells to run after others, in their order. Those that were changed since they ran are left to the reader.
   *
   * @param changed cells that have run
   * @param moved cells that are to run themselves
   */
  after(
    changed: readonly string[],
    ran: ReadonlyMap<string, string>,
    moved: readonly string[] = [],
  ): string[] {
    return this.dependencies.following(changed, moved).filter((id) => {
      const cell = this.model.code(id);
      return cell !== undefined && ran.get(id) === sourceOf(cell);
    });
  }

  /** What there is to say beside cells: that they are older than what they use, and whom they change. */
  notes(ran: ReadonlyMap<string, string>): ReadonlyMap<string, CellNotes> {
    const { dependencies } = this;
    const older = dependencies.older([...ran.keys()]);
    const notes = [...ran.keys()].map((id): [string, CellNotes] => {
      const names = older.get(id);
      return [id, { older: names, words: wordsOf(id, names, dependencies) }];
    });
    return new Map(notes.filter(([, { words }]) => words !== ''));
  }
}

export interface CellNotes {
  /** The names of which it used older values; undefined where there are none. */
  readonly older: readonly string[] | undefined;
  readonly words: string;
}

function wordsOf(
  id: string,
  older: readonly string[] | undefined,
  dependencies: Dependencies,
): string {
  const changed = dependencies.changedBy(id);
  const said: string[] = [];
  if (older) {
    const names = older.filter((name) => name !== begun);
    said.push(`computed from older values${names.length > 0 ? ` of ${listed(names)}` : ''}`);
  }
  if (dependencies.isInCircle(id)) said.push('uses cells that use it, in a circle');
  if (changed.length > 0) said.push(`changes ${listed(changed)} of another cell`);
  return said.join('; ');
}

/** Whoever works with the sample student's numbers shows the sheet rather than hands it in. */
function isTutors(model: SheetModel): boolean {
  const number = studentNumberOf(model.snapshot());
  return number === undefined || number === sampleStudent;
}

function withBegun(cell: Cell, names: CellNames | undefined): CellNames | undefined {
  if (!names) return names;
  if (/\bbegin\(/.test(sourceOf(cell)))
    return { ...names, names: [...names.names, begun], sets: [...names.sets, begun] };
  const isCheck = tagOf(cell)?.role === 'answer';
  return isCheck ? { ...names, reads: [...names.reads, begun] } : names;
}

function sameOrder(some: readonly Cell[], others: readonly Cell[]): boolean {
  return (
    some === others ||
    (some.length === others.length && some.every(({ id }, n) => id === others[n].id))
  );
}

/** How many cells are older than what they use, as a sentence; empty where none is. */
export function olderWords(notes: ReadonlyMap<string, CellNotes>): string {
  const count = [...notes.values()].filter((note) => note.older).length;
  if (count === 0) return '';
  return count === 1
    ? 'One cell is computed from older values.'
    : `${count} cells are computed from older values.`;
}
