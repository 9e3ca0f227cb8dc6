import type { LeftBehind } from '../../questions/work';
import { type CellNames, Dependencies, type KnownCell } from '../follow';

/** One run of a cell, as far as a kernel knows it. */
export interface CellRun {
  /** Its number, as `In [3]` shows it. */
  readonly count: number;
  readonly source: string;
  readonly names: CellNames | undefined;
  /** What the client calls the cell; many do not tell. */
  readonly cell?: string;
  /** Of the names that it declares, those that it gave a value; a cell that failed may have come to none. */
  readonly gave: readonly string[];
}

/** What a client says of the notebook that a cell stands in. */
export interface Standing {
  /** What it calls the code cells that stand there, from the top down. */
  readonly cells?: readonly string[];
  /** What it calls cells that were taken away. */
  readonly removed?: readonly string[];
}

/** A cell that ran, as a client is told of it that was not there. */
export interface RanCell {
  readonly cell: string;
  /** The source that it had. */
  readonly source: string;
  readonly names: CellNames | undefined;
}

/** So many cells are remembered: a session at a console goes on for long. */
const most = 300;

/**
 * The cells that ran in a session, as a kernel sees them: which of them are older than what they were computed from.
 * They count as standing in the order in which they first ran. A cell that the client does not name is known again by
 * its text, or by declaring the same.
 */
export class RanCells {
  /** In the order in which each first ran. */
  private cells: (CellRun & { readonly key: string })[] = [];
  /** Keys in the order in which each last ran. */
  private order: string[] = [];
  private older: ReadonlySet<string> = new Set();
  private dependencies = new Dependencies([]);
  /** Of each name: the key of the cell that gave it its value last. */
  private readonly givers = new Map<string, string>();
  private readonly removed = new Set<string>();

  /** Note a run. @returns the numbers of the cells that it has made older */
  note(run: CellRun): number[] {
    const { cells } = this;
    const at = this.placeOf(run);
    const key = cells[at]?.key ?? `run ${run.count}`;
    this.cells =
      at < 0 ? [...cells, { ...run, key }].slice(-most) : cells.with(at, { ...run, key });
    this.order = [...this.order.filter((one) => one !== key), key].slice(-most);
    for (const name of run.gave) this.givers.set(name, key);
    this.dependencies = new Dependencies(this.cells.map(this.known));
    const before = this.older;
    this.older = new Set(this.dependencies.older(this.order).keys());
    return this.counts([...this.older].filter((one) => !before.has(one) && one !== key));
  }

  /**
   * What a cell that is about to run reads, and no cell above it gives that stands there as it last ran: values that
   * earlier texts left behind, which a run from the top does not find.
   */
  leftBehind(
    { source, names, cell }: Pick<CellRun, 'source' | 'names' | 'cell'>,
    { cells: standing, removed = [] }: Standing,
  ): LeftBehind[] {
    for (const one of removed) this.removed.add(one);
    if (cell !== undefined) this.removed.delete(cell);
    const own = this.cells[this.placeOf({ source, names, cell })]?.key;
    const isThere = ({ cell: named }: CellRun) =>
      named === undefined || (standing ? standing.includes(named) : !this.removed.has(named));
    const there = this.cells.filter((one) => one.key !== own && isThere(one));
    /** Where the order is not known, every cell stands above. */
    const placeIn = (named: string | undefined) =>
      named === undefined || !standing ? -1 : standing.indexOf(named);
    const met = new Set<string>();
    const found: LeftBehind[] = [];

    const look = (name: string, below: number, through: string | undefined) => {
      if (met.has(name)) return;
      met.add(name);
      const giving = there.filter(({ gave }) => gave.includes(name));
      const giver = giving.findLast((one) => placeIn(one.cell) <= below);
      if (giver) {
        for (const used of usedBy(giver.names)) look(used, placeIn(giver.cell), through ?? name);
        return;
      }
      const key = this.givers.get(name);
      const last = giving[0] ?? this.cells.find((one) => one.key === key);
      if (!last) return;
      const line = firstLine(last.key === own ? source : last.source);
      found.push({ name, through, how: howLeft(name), line });

      function howLeft(name: string): LeftBehind['how'] {
        if (last?.key === own) return 'renamed';
        if (!last || !there.includes(last)) return 'removed';
        if (giving.length > 0) return 'further down';
        if (last.source.trim() === '') return 'emptied';
        return !last.names || last.names.names.includes(name) ? 'failed' : 'renamed';
      }
    };
    for (const name of usedBy(names)) look(name, placeIn(cell), undefined);
    return found;
  }

  /** Cells that the client named, in the order in which each last ran. */
  list(): RanCell[] {
    return this.order.flatMap((key) => {
      const found = this.cells.find((one) => one.key === key);
      if (found?.cell === undefined) return [];
      return [{ cell: found.cell, source: found.source, names: found.names }];
    });
  }

  /** The numbers of the cells to run after a variable has got another value, in their order. */
  after(name: string): number[] {
    const declaring = this.cells.findLast(({ names }) => names?.names.includes(name));
    if (!declaring) return [];
    // Nothing else of that cell is new, unless it uses the variable itself.
    const alone = { names: [name], sets: [name] };
    const isAlone = !declaring.names?.usesOwn.includes(name);
    const cells = this.cells.map((cell): KnownCell => {
      const { names } = cell;
      return cell === declaring && isAlone && names
        ? { id: cell.key, names: { ...names, ...alone } }
        : this.known(cell);
    });
    const { key } = declaring;
    return this.counts(
      new Dependencies(cells).following(isAlone ? [key] : [], isAlone ? [] : [key]),
    );
  }

  private readonly known = ({ key, names }: (typeof this.cells)[number]): KnownCell => ({
    id: key,
    names,
  });

  private placeOf({ cell, source, names }: Pick<CellRun, 'source' | 'names' | 'cell'>): number {
    if (cell !== undefined) return this.cells.findIndex((one) => one.cell === cell);
    const same = this.cells.findIndex((one) => one.source === source);
    if (same >= 0 || !names?.names.length) return same;
    const declared = names.names.toSorted().join();
    return this.cells.findIndex(({ names: of }) => of?.names.toSorted().join() === declared);
  }

  private counts(keys: readonly string[]): number[] {
    return keys.flatMap((key) => this.cells.find((one) => one.key === key)?.count ?? []);
  }
}

/** Names of other cells that a cell reads or changes. */
const usedBy = (names: CellNames | undefined): readonly string[] =>
  names ? [...names.reads, ...names.sets.filter((name) => !names.names.includes(name))] : [];

/** The first line that does something, as a reader finds the cell by it. */
function firstLine(source: string): string {
  const lines = source.split('\n').map((line) => line.trim());
  return lines.find((line) => line !== '' && !/^(?:\/\/|\/\*|import\b)/.test(line)) ?? '';
}

/** Cells by their numbers, as a reader finds them: `In [4] and In [6]`. */
export function namedCells(counts: readonly number[]): string {
  const named = counts.map((count) => `In [${count}]`);
  const last = named.pop();
  return named.length > 0 ? `${named.join(', ')} and ${last}` : (last ?? '');
}
