/** The parts of nbformat 4.5 that multislit reads and writes; everything else is carried along untouched. */
export interface Notebook {
  nbformat: number;
  nbformat_minor: number;
  metadata: Record<string, unknown>;
  cells: Cell[];
}

/**
 * What a cell is for: `text` to read, `given` for what is drawn for the student, `work` for their code, `answer`
 * for the line that hands a value in, `written` for an answer that a person reads.
 */
export type Role = 'text' | 'given' | 'work' | 'answer' | 'written';

/** What multislit keeps in a cell's metadata, under the one key `multislit`. */
interface CellTag {
  sheet: string;
  role: Role;
  question?: string;
}

interface CellMetadata {
  multislit?: CellTag;
  deletable?: boolean;
  editable?: boolean;
  [key: string]: unknown;
}

interface AnyCell {
  id: string;
  /** nbformat allows one string or a list of lines; `sourceOf` reads both. */
  source: string | string[];
  metadata: CellMetadata;
}

export interface CodeCell extends AnyCell {
  cell_type: 'code';
  execution_count: number | null;
  outputs: Output[];
}

export interface TextCell extends AnyCell {
  cell_type: 'markdown' | 'raw';
  attachments?: Record<string, unknown>;
}

export type Cell = CodeCell | TextCell;

export type MimeData = Record<string, unknown>;

export type Output =
  | { output_type: 'stream'; name: 'stdout' | 'stderr'; text: string | string[] }
  | { output_type: 'display_data'; data: MimeData; metadata: Record<string, unknown> }
  | {
      output_type: 'execute_result';
      data: MimeData;
      metadata: Record<string, unknown>;
      execution_count: number | null;
    }
  | { output_type: 'error'; ename: string; evalue: string; traceback: string[] };

/** A notebook that cannot be used; the message is one sentence for the person who handed it in. */
export class NotebookError extends Error {
  override name = 'NotebookError';
}

/** A multi-line string of nbformat as one string. */
export function joinLines(text: string | readonly string[]): string {
  return typeof text === 'string' ? text : text.join('');
}

/** One string as nbformat's list of lines, each but the last with its line end. `''` is an empty list. */
export function splitLines(text: string): string[] {
  return text === '' ? [] : text.split(/(?<=\n)/);
}

/** The source of a cell as one string. */
export function sourceOf(cell: Cell): string {
  return joinLines(cell.source);
}

const roles: readonly Role[] = ['text', 'given', 'work', 'answer', 'written'];

/** What multislit wrote on the cell, or undefined for a cell of the student's own. */
export function tagOf(cell: Cell): CellTag | undefined {
  const tag = cell.metadata.multislit;
  return tag && typeof tag === 'object' && roles.includes(tag.role) ? tag : undefined;
}

/** The cell with this id. */
export function cellById(notebook: Notebook, id: string): Cell | undefined {
  return notebook.cells.find((cell) => cell.id === id);
}

/** The code cells, in order. */
export function codeCells(notebook: Notebook): CodeCell[] {
  return notebook.cells.filter((cell): cell is CodeCell => cell.cell_type === 'code');
}

/** Which sheet the notebook is of: the name that its marked cells agree on. */
export function sheetOf(notebook: Notebook): string | undefined {
  const names = new Set(notebook.cells.map((cell) => tagOf(cell)?.sheet).filter(Boolean));
  return names.size === 1 ? [...names][0] : undefined;
}

/** True for cells in which a student writes: work and written. The others are the sheet's own. */
export function takesWork(cell: Cell): boolean {
  const role = tagOf(cell)?.role;
  return role === 'work' || role === 'written';
}

/** The cell in which the answer to a written question stands. */
export function writtenCell(cells: readonly Cell[], question: string): Cell | undefined {
  return cells.find((cell) => {
    const tag = tagOf(cell);
    return tag?.role === 'written' && tag.question === question;
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
  const added = addedCellsAfter(returned, known);
  let waiting = added.get('') ?? [];
  const cells: Cell[] = [];
  for (const cell of original.cells) {
    const answer = answers.get(cell.id);
    if (answer || !takesWork(cell) || tagOf(cell)?.question === undefined) {
      cells.push(...waiting);
      waiting = [];
    }
    const kept = takesWork(cell) && answer?.cell_type === cell.cell_type;
    cells.push(kept ? { ...cell, source: answer.source } : cell);
    waiting = [...waiting, ...(added.get(cell.id) ?? [])];
  }
  return { ...original, cells: [...cells, ...waiting] };
}

/** The student's own code and text, grouped by the id of the sheet's cell they follow ('' for the top). */
function addedCellsAfter(returned: Notebook, known: ReadonlySet<string>): Map<string, Cell[]> {
  const addedAfter = new Map<string, Cell[]>();
  let last = '';
  for (const cell of returned.cells) {
    if (known.has(cell.id)) last = cell.id;
    else addedAfter.set(last, [...(addedAfter.get(last) ?? []), { ...cell, metadata: {} } as Cell]);
  }
  return addedAfter;
}

/** What a cell is for; undefined for one of the student's own. */
function purposeOf(cell: Cell): string | undefined {
  const tag = tagOf(cell);
  return tag && JSON.stringify([tag.sheet, tag.role, tag.question ?? '', cell.cell_type]);
}

/**
 * A copy in which cells of the sheet that have lost their ids have them again: by the tag on each cell, in the order
 * in which cells with the same tag stand. An id that is still there is never given to another cell.
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

/** `working` is code, a `note` is text. */
export type AddedKind = 'working' | 'note';

/** True for a cell that a student added: the sheet's own cells all carry its tag. */
export const isAdded = (cell: Cell): boolean => tagOf(cell) === undefined;

/** An empty cell of the student's own: plain nbformat, without anything of the sheet. */
export function addedCell(kind: AddedKind, id: string, source = ''): Cell {
  return kind === 'working'
    ? { cell_type: 'code', id, metadata: {}, source, execution_count: null, outputs: [] }
    : { cell_type: 'markdown', id, metadata: {}, source };
}

/** A copy of the list with `cell` behind the last of `before` that is still there; at the top when none is. */
export function withCellBehind(
  cells: readonly Cell[],
  cell: Cell,
  before: readonly string[],
): Cell[] {
  const earlier = new Set(before);
  const at = cells.findLastIndex(({ id }) => earlier.has(id)) + 1;
  return [...cells.slice(0, at), cell, ...cells.slice(at)];
}

/** Every sheet has a cell with this id, in which the student number stands. */
export const studentNumberCell = 'student-number';

const numberLine = /(\bstudentNumber\s*(?::\s*string\s*)?=\s*)(['"`])([^'"`\n]*)\2/y;
/** What is no code: comments, and texts in quotes. */
const passedOver = /\/\/.*|\/\*[\s\S]*?(?:\*\/|$)|(['"`])(?:\\[\s\S]|(?!\1)[^\\])*(?:\1|$)/y;

/** The last place in the code that gives the number; what stands in a comment or in a text is none. */
function numberLineIn(source: string): RegExpExecArray | undefined {
  let found: RegExpExecArray | undefined;
  for (let at = 0; at < source.length; at++) {
    numberLine.lastIndex = at;
    passedOver.lastIndex = at;
    const isWord = at > 0 && /[\w$]/.test(source[at - 1]);
    const match = isWord ? null : numberLine.exec(source);
    if (match) found = match;
    const passed = match ?? passedOver.exec(source);
    if (passed) at += passed[0].length - 1;
  }
  return found;
}

/** The number that stands in the notebook; undefined when there is no such cell or line. */
export function studentNumberOf(notebook: Notebook): string | undefined {
  const cell = cellById(notebook, studentNumberCell);
  return cell && numberLineIn(sourceOf(cell))?.[3].trim();
}

/**
 * A copy of the notebook in which `number` stands in the place of one of `before` (the original's, the number given
 * earlier); undefined where something else stands there, or `number` already.
 */
export function withNumberInstead(
  notebook: Notebook,
  number: string,
  before: readonly (string | undefined)[],
): Notebook | undefined {
  const there = studentNumberOf(notebook);
  if (there === undefined || there === number || !before.includes(there)) return undefined;
  return withStudentNumber(notebook, number);
}

/** A copy of the notebook in which `number` stands as the student number; the rest of the cell stays. */
export function withStudentNumber(notebook: Notebook, number: string): Notebook {
  const cells = notebook.cells.map((cell) => {
    if (cell.id !== studentNumberCell) return cell;
    const source = sourceOf(cell);
    const found = numberLineIn(source);
    if (!found) return cell;
    const [whole, before, quote] = found;
    const rest = source.slice(found.index + whole.length);
    return {
      ...cell,
      source: `${source.slice(0, found.index)}${before}${quote}${number}${quote}${rest}`,
    };
  });
  return { ...notebook, cells };
}
