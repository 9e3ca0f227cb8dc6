/** A thing out of JSON that may be a notebook of nbformat 4.0 to 4.4, whose cells have no ids. */
type Parsed = Readonly<Record<string, unknown>>;

const isObject = (value: unknown): value is Parsed =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** As nbformat 4.5 allows it. */
const soundId = /^[a-zA-Z0-9-_]{1,64}$/;

/**
 * The same notebook in nbformat 4.5: each cell that has no id is given one, `cell-1` for the first, and so on. Editors
 * that keep older formats take ids away; what a cell is for stands in its metadata (`withIdsOf` lays ids anew by it).
 * Anything that is not as expected stays as it is, for the schema to judge.
 */
export function upgraded(notebook: Parsed): Parsed {
  const { cells, nbformat_minor: minor } = notebook;
  if (!Array.isArray(cells)) return notebook;
  const taken = new Set(cells.map((cell) => isObject(cell) && cell.id));
  const withIds = cells.map((cell, i) => {
    if (!isObject(cell) || Object.hasOwn(cell, 'id')) return cell;
    const kept = isObject(cell.metadata) ? cell.metadata.id : undefined;
    let id = typeof kept === 'string' && soundId.test(kept) ? kept : `cell-${i + 1}`;
    while (taken.has(id)) id = `cell-${i + 1}-${taken.size}`;
    taken.add(id);
    return { ...cell, id };
  });
  return {
    ...notebook,
    nbformat_minor: typeof minor === 'number' && minor < 5 ? 5 : minor,
    cells: withIds,
  };
}
