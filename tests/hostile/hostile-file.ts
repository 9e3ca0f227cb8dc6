/** A harmful or careless thing that is handed in as a file. */
export interface HostileFile {
  /** One sentence: what it tries. */
  readonly tells: string;
  /** Put it into the folder of returns, under its own name. `student` is a number of the roster kept for it. */
  put(folder: string, name: string, student: string): void;
  /** What returns.csv says of it. */
  readonly outcome: RegExp;
  /** All that a machine can give; nothing unless said. */
  readonly earns?: 'all';
  /** So many of them less. */
  readonly loses?: number;
  /** What must be said at questions. */
  readonly says?: Readonly<Record<string, RegExp>>;
}
