import { type Cell, markOf, type Notebook } from './notebook';

/** True for cells in which a student writes: work and written. The others are the sheet's own. */
export function takesWork(cell: Cell): boolean {
  const role = markOf(cell)?.role;
  return role === 'work' || role === 'written';
}

/** The cell in which the answer to a written question stands. */
export function writtenCell(cells: readonly Cell[], question: string): Cell | undefined {
  return cells.find((cell) => {
    const mark = markOf(cell);
    return mark?.role === 'written' && mark.question === question;
  });
}

/** A copy without outputs and counts, as a sheet is handed out. */
export function withoutOutputs(notebook: Notebook): Notebook {
  const cells = notebook.cells.map((cell) =>
    cell.cell_type === 'code' ? { ...cell, execution_count: null, outputs: [] } : cell,
  );
  return { ...notebook, cells };
}

/** A copy in which the cells named take the sources given; used to fill in model answers. */
export function withSources(
  notebook: Notebook,
  sources: Readonly<Record<string, string>>,
): Notebook {
  const cells = notebook.cells.map((cell) =>
    Object.hasOwn(sources, cell.id) ? { ...cell, source: sources[cell.id] } : cell,
  );
  return { ...notebook, cells };
}

/**
 * The sheet as it was handed out with a student's work laid in: work and written cells by id, plus the student's own
 * cells where they stood; those in the place of a deleted work cell come after it, so that they answer in its stead.
 * Text, given and answer cells are always the original's, whatever the return holds.
 */
export function originalWithWork(original: Notebook, returned: Notebook): Notebook {
  const answers = new Map(returned.cells.map((cell) => [cell.id, cell]));
  const known = new Set(original.cells.map((cell) => cell.id));
  const own = ownCellsAfter(returned, known);
  let waiting = own.get('') ?? [];
  const cells: Cell[] = [];
  for (const cell of original.cells) {
    const answer = answers.get(cell.id);
    if (answer || !takesWork(cell) || markOf(cell)?.question === undefined) {
      cells.push(...waiting);
      waiting = [];
    }
    const kept = takesWork(cell) && answer?.cell_type === cell.cell_type;
    cells.push(kept ? { ...cell, source: answer.source } : cell);
    waiting = [...waiting, ...(own.get(cell.id) ?? [])];
  }
  return { ...original, cells: [...cells, ...waiting] };
}

/** The student's own code and text, grouped by the id of the sheet's cell they follow ('' for the top). */
function ownCellsAfter(returned: Notebook, known: ReadonlySet<string>): Map<string, Cell[]> {
  const own = new Map<string, Cell[]>();
  let last = '';
  for (const cell of returned.cells) {
    if (known.has(cell.id)) last = cell.id;
    else own.set(last, [...(own.get(last) ?? []), { ...cell, metadata: {} } as Cell]);
  }
  return own;
}

/** What a cell is for; undefined for one of the student's own. */
function purposeOf(cell: Cell): string | undefined {
  const mark = markOf(cell);
  return mark && JSON.stringify([mark.sheet, mark.role, mark.question ?? '', cell.cell_type]);
}

/**
 * A copy in which cells of the sheet that have lost their ids have them again: by the mark on each cell, in the order
 * in which cells with the same mark stand. An id that is still there is never given to another cell.
 *
 * Ids get lost where an editor keeps a format before nbformat 4.5, or where a cell is cut and pasted.
 *
 * @param sheet the sheet as it was handed out
 */
export function withIdsOf(sheet: Notebook, returned: Notebook): Notebook {
  const there = new Set(returned.cells.map(({ id }) => id));
  const free = new Map<string, string[]>();
  for (const cell of sheet.cells) {
    const purpose = purposeOf(cell);
    if (purpose === undefined || there.has(cell.id)) continue;
    free.set(purpose, [...(free.get(purpose) ?? []), cell.id]);
  }
  if (free.size === 0) return returned;
  const known = new Set(sheet.cells.map(({ id }) => id));
  const cells = returned.cells.map((cell) => {
    const purpose = known.has(cell.id) ? undefined : purposeOf(cell);
    const id = purpose === undefined ? undefined : free.get(purpose)?.shift();
    return id === undefined ? cell : { ...cell, id };
  });
  return { ...returned, cells };
}
