import type { Notebook } from '../../kernel-lib/notebook/notebook';

/** A harmful or careless thing that is handed in as a file. */
export interface HostileFile {
  /** One sentence: what it tries. */
  readonly tells: string;
  /** What returns.csv says of it; `marked` unless given. */
  readonly outcome?: RegExp;
  /** All that a machine can give; nothing unless said. */
  readonly earns?: 'all';
  /** So many of them less. */
  readonly loses?: number;
  /** What must be said at questions. */
  readonly says?: Readonly<Record<string, RegExp>>;
  /** What its lines in returns.csv say, one of them at least. */
  readonly remark?: RegExp;
  /** What is handed in. `student` is a number of the roster kept for it. */
  readonly what?: (student: string) => Notebook | string | Uint8Array;
  /** Where it lies in the folder of returns; NAME.ipynb unless given. */
  readonly as?: (name: string, student: string) => string;
  /** The file's stamp, s since 1970. */
  readonly saved?: number;
  /** In the place of `what`: put it into the folder of returns. */
  readonly put?: (path: string, student: string) => void;
}

/** Each by its name, which is also that of its file. */
export type HostileFiles = Readonly<Record<string, HostileFile>>;
