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
export interface CellMark {
  sheet: string;
  role: Role;
  question?: string;
}

export interface CellMetadata {
  multislit?: CellMark;
  deletable?: boolean;
  editable?: boolean;
  [key: string]: unknown;
}

interface AnyCell {
  id: string;
  /** nbformat allows one string or a list of lines; `source` in text.ts reads both. */
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
