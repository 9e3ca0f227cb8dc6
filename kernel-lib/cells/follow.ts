/** Which variables a cell has to do with. Plain data, which travels with what was made of the cell. */
export interface CellNames {
  /** Top-level names that it declares. */
  readonly names: readonly string[];
  /** Of these, such as it uses itself. */
  readonly usesOwn: readonly string[];
  /** Names of earlier cells that it reads, also in functions that are called later. */
  readonly reads: readonly string[];
  /** Of these, such as it reads only in functions that are called later. */
  readonly later: readonly string[];
  /** Names that it declares, and those of earlier cells that it gives another value. */
  readonly sets: readonly string[];
  /** Names of earlier cells whose value it may change without giving another: `list.push(1)`, `given.width = 2`. */
  readonly mayChange: readonly string[];
  /** By name of what it declares: names of earlier cells that a call of that may change, and that it uses. */
  readonly through: Readonly<
    Record<string, { readonly changes: readonly string[]; readonly uses: readonly string[] }>
  >;
}

/** A cell of a notebook, as it last ran. */
export interface KnownCell {
  readonly id: string;
  /** Undefined for one that did not run, or did not convert. */
  readonly names: CellNames | undefined;
}

/** Names by the cell that they are had from. */
type Suppliers = ReadonlyMap<string, readonly string[]>;

/**
 * Says what depends on what among cells that share their variables. A cell has a name from the last cell above it
 * that declares it, and from those between the two that change it; where none above declares it, from the first below.
 *
 * @param cells in the notebook's order
 */
export class Dependencies {
  private readonly changes: ReadonlyMap<string, ReadonlySet<string>>;
  private readonly suppliers: ReadonlyMap<string, Suppliers>;

  constructor(private readonly cells: readonly KnownCell[]) {
    this.changes = changesOf(cells);
    this.suppliers = new Map(cells.map(({ id }, at) => [id, suppliersOf(cells, at, this.changes)]));
  }

  /** The cells that a cell has its names from, each with those names. */
  of(id: string): Suppliers {
    return this.suppliers.get(id) ?? new Map();
  }

  /** Names that this cell changes and another declares. */
  changedBy(id: string): readonly string[] {
    return [...(this.changes.get(id) ?? [])];
  }

  /** Whether a cell depends on itself by way of others: no order suits those. */
  isInCircle(id: string): boolean {
    const met = new Set(this.of(id).keys());
    // What is added while it is gone through is gone through, too.
    for (const one of met) for (const from of this.of(one).keys()) met.add(from);
    return met.has(id);
  }

  /**
   * Cells that were computed from older values, each with the names that are newer.
   *
   * @param ran cells in the order in which each last ran; others are passed over
   */
  older(ran: readonly string[]): ReadonlyMap<string, readonly string[]> {
    const turn = new Map(ran.map((id, n) => [id, n]));
    const found = new Map<string, readonly string[]>();
    // A cell that stands on an older one is older itself: look again until nothing more is found.
    for (let before = -1; before < found.size; ) {
      before = found.size;
      for (const { id } of this.cells) {
        const own = turn.get(id);
        if (own === undefined || found.has(id)) continue;
        const newer = [...this.of(id)]
          .filter(([from]) => (turn.get(from) ?? -1) > own || found.has(from))
          .flatMap(([, names]) => names);
        if (newer.length > 0) found.set(id, [...new Set(newer)]);
      }
    }
    return found;
  }

  /**
   * The cells to run, in their order, so that everything follows: those that use the names of `changed`, and so on.
   * After that all stands as if it had been run from the top: a variable that cells change on the way, or that is
   * declared twice, begins anew with the cell that declares it.
   *
   * @param changed cells that have just run
   * @param moved cells that are to run themselves
   */
  following(changed: readonly string[], moved: readonly string[] = []): readonly string[] {
    const isNew = new Set(changed);
    const toRun = new Set(moved);
    const follows = (id: string) =>
      !isNew.has(id) && [...this.of(id).keys()].some((from) => isNew.has(from) || toRun.has(from));
    for (let before = -1; before < toRun.size; ) {
      before = toRun.size;
      for (const [at, { id, names }] of this.cells.entries()) {
        if (!names) continue;
        if (follows(id) || this.isDeclaredAgain(at, isNew, toRun)) toRun.add(id);
        if (!toRun.has(id)) continue;
        for (const [from, had] of this.of(id))
          if (!isNew.has(from) && had.some((name) => this.isLost(at, name))) toRun.add(from);
      }
    }
    return this.inOrder(toRun);
  }

  /** Whether a variable is by now another than what this cell saw of it: it, or one below, gave it another value. */
  private isLost(at: number, name: string): boolean {
    return this.cells.some(
      ({ id, names }, n) =>
        (n >= at && this.changes.get(id)?.has(name)) ||
        (n > at && (names?.names.includes(name) ?? false)),
    );
  }

  /** Whether a cell declares what one above it declares that runs. */
  private isDeclaredAgain(at: number, isNew: ReadonlySet<string>, toRun: ReadonlySet<string>) {
    const { id, names: own } = this.cells[at];
    if (isNew.has(id)) return false;
    return this.cells
      .slice(0, at)
      .filter((above) => isNew.has(above.id) || toRun.has(above.id))
      .some((above) => own?.names.some((name) => above.names?.names.includes(name)));
  }

  /** As they depend on one another, and as they stand where that leaves the choice. */
  private inOrder(some: ReadonlySet<string>): string[] {
    const left = this.cells.map(({ id }) => id).filter((id) => some.has(id));
    const order: string[] = [];
    while (left.length > 0) {
      const free = left.findIndex(
        (id) => ![...this.of(id).keys()].some((one) => left.includes(one)),
      );
      // In a circle the one that stands first begins.
      order.push(...left.splice(Math.max(0, free), 1));
    }
    return order;
  }
}

function suppliersOf(
  cells: readonly KnownCell[],
  at: number,
  changes: ReadonlyMap<string, ReadonlySet<string>>,
): Suppliers {
  const found = new Map<string, string[]>();
  const add = (from: string, name: string) => found.set(from, [...(found.get(from) ?? []), name]);
  const declares = (cell: KnownCell, name: string) => cell.names?.names.includes(name) ?? false;
  const { id, names } = cells[at];
  for (const name of new Set([...(names?.reads ?? []), ...(changes.get(id) ?? [])])) {
    let above = at - 1;
    for (; above >= 0 && !declares(cells[above], name); above -= 1);
    if (above >= 0) {
      add(cells[above].id, name);
      for (const { id: between } of cells.slice(above + 1, at))
        if (changes.get(between)?.has(name)) add(between, name);
      continue;
    }
    const below = cells.find((cell, n) => n > at && declares(cell, name));
    if (below) add(below.id, name);
  }
  return found;
}

/** The variables of others that each cell changes: by itself, and by functions of others that it calls. */
function changesOf(cells: readonly KnownCell[]): ReadonlyMap<string, ReadonlySet<string>> {
  const functions = new Map(cells.flatMap(({ names }) => Object.entries(names?.through ?? {})));

  function through(name: string, met: Set<string>): readonly string[] {
    const doing = met.has(name) ? undefined : functions.get(name);
    if (!doing) return [];
    met.add(name);
    return [...doing.changes, ...doing.uses.flatMap((used) => through(used, met))];
  }

  return new Map(
    cells.map(({ id, names }) => {
      if (!names) return [id, new Set<string>()];
      const called = names.reads.filter((name) => !names.later.includes(name));
      const changed = [
        ...names.sets,
        ...names.mayChange,
        ...called.flatMap((name) => through(name, new Set())),
      ];
      return [id, new Set(changed.filter((name) => !names.names.includes(name)))];
    }),
  );
}

/** The names alone, of what has them and more. */
export const onlyNames = (from: CellNames): CellNames => {
  const { names, usesOwn, reads, later, sets, mayChange, through } = from;
  return { names, usesOwn, reads, later, sets, mayChange, through };
};

const areTexts = (value: unknown): value is readonly string[] =>
  Array.isArray(value) && value.every((one) => typeof one === 'string');
const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Names out of a message, or undefined where it holds none: a student's code may have a hand in it. */
export function readNames(from: unknown): CellNames | undefined {
  if (!isRecord(from) || !isRecord(from.through)) return undefined;
  const { names, usesOwn, reads, later, sets, mayChange, through } = from;
  const areLists =
    areTexts(names) &&
    areTexts(usesOwn) &&
    areTexts(reads) &&
    areTexts(later) &&
    areTexts(sets) &&
    areTexts(mayChange);
  if (!areLists) return undefined;
  const calls = Object.entries(through).flatMap(([name, doing]) =>
    isRecord(doing) && areTexts(doing.changes) && areTexts(doing.uses)
      ? [[name, { changes: doing.changes, uses: doing.uses }] as const]
      : [],
  );
  return { names, usesOwn, reads, later, sets, mayChange, through: Object.fromEntries(calls) };
}
