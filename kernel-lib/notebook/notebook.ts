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
interface CellMark {
  sheet: string;
  role: Role;
  question?: string;
}

interface CellMetadata {
  multislit?: CellMark;
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
export function markOf(cell: Cell): CellMark | undefined {
  const mark = cell.metadata.multislit;
  return mark && typeof mark === 'object' && roles.includes(mark.role) ? mark : undefined;
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
  const names = new Set(notebook.cells.map((cell) => markOf(cell)?.sheet).filter(Boolean));
  return names.size === 1 ? [...names][0] : undefined;
}
