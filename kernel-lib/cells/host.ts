import type * as Library from '../index';
import type { AnySheet } from '../questions/sheet';

/** The two streams that a cell prints to. */
export type StreamName = 'stdout' | 'stderr';

/** Finds modules for the cells of one session. */
export interface ModuleLoader {
  /** What `require` gives a cell; throws where it cannot be had at once. */
  readonly require: NodeJS.Require;
  /** Whether what `require` threw says that the module can be had by `import` alone. */
  mustWait(error: unknown): boolean;
  import(specifier: string): Promise<unknown>;
}

/**
 * What cells run in: Node, a worker of a browser, or the locked-down process of the marker. All that the engine in
 * `cells/run` cannot do by the language alone, it asks of this.
 */
export interface Host {
  /**
   * Compile the text of a function expression and give that function.
   *
   * @param head what goes before the cell's own text: in stacks its columns count from the end of that, or its lines
   * from behind `headLines`
   * @param name how stacks call it
   */
  evaluate(head: string, text: string, name: string): unknown;
  /** A stack in which scripts are called as `evaluate` was told; stacks are so by themselves unless given. */
  namedStack?(stack: string): string;
  /** Lines that `evaluate` puts before a cell's own; none unless given. */
  readonly headLines?: number;
  /**
   * @param sideFiles emitted JavaScript of the source files beside the notebook, by path; it may grow
   * @param library what `multislit` is
   */
  loader(cwd: string, sideFiles: ReadonlyMap<string, string>, library: () => unknown): ModuleLoader;
  /** The library that cells see as `multislit`: one instance for all of them. */
  library(): typeof Library;
  /** A value in words, as the platform's console has it. */
  inspect(value: unknown, options?: object): string;
  /** Resolves when what `inspect` says of the value is true; where that is known at once there is nothing to wait for. */
  beforeInspect?(value: unknown): Promise<void>;
  /** A console that prints into `write` and whose `clear` calls `clear`. */
  console(write: (name: StreamName, text: string) => void, clear: () => void): Console;
  readonly sheets: {
    find(name: string): AnySheet | undefined;
    names(): readonly string[];
  };
  /** The files beside the notebook that is at work, for `fileBeside`. */
  readonly beside: {
    find(name: string): Uint8Array | undefined;
    names(): readonly string[];
  };
  /** The script of a live bench; undefined where there is none. */
  benchScript(): string | undefined;
  /** Call back with nothing else on the stack, so that the call may be cut off in the middle. */
  callback(call: () => void): void;
  /** Call back once what follows by itself has come, such as the news of a rejection that nothing handles. */
  whenSettled(call: () => void): void;
  /** Call back should nothing be left that could end a wait; returns the way to stop that. */
  onIdle?(call: () => void): () => void;
  /** Call, and throw `Interrupted` into it when it takes longer than `time` ms without a pause. */
  inTime?<T>(call: () => T, time: number): T;
  /** What `$tick()` does, where the converter writes it: the only way to stop a loop without a second thread. */
  tick?(): void;
  /**
   * Bring home what a cell prints, ends or leaves unhandled by other ways than its console.
   *
   * @param tell says which cell is at work
   */
  guard(tell: {
    /** An error that nothing caught; false when it comes from no cell. */
    uncaught(error: unknown): boolean;
    /** Whose code runs, as far as that is known, to print to. */
    cell(): { write(name: StreamName, text: string): void } | undefined;
  }): void;
}

/** The files that a compiler sees. Paths have forward slashes. */
export interface Files {
  read(path: string): string | undefined;
  isFile(path: string): boolean;
  isFolder(path: string): boolean;
  /** Names in a folder; none where there is no such folder. */
  list(path: string): { readonly files: readonly string[]; readonly folders: readonly string[] };
  /** The path without links. */
  realPath(path: string): string;
  /** Another number after each change of the file; 0 where there is none. */
  changedAt(path: string): number;
}

/** What the converter in `cells/convert` is given: a disk, real or made of texts, and what cells find at hand. */
export interface ConvertHost {
  readonly files: Files;
  /** The folder of the notebook. */
  readonly cwd: string;
  /** The folder of this program: `multislit` is found there from every other. */
  readonly home: string;
  /** The compiler's own file, beside which the declarations of the language lie. */
  readonly compiler: string;
  /** Declarations of all that the platform has. Without them the few of `ambient.ts` are all. */
  readonly platformTypes?: string;
  /** Names of all globals. */
  readonly globals: ReadonlySet<string>;
  /** Whether a global is the platform's and not the language's. */
  isPlatforms(global: string): boolean;
  /** Modules that cells can import by name. */
  readonly modules: readonly string[];
  /** The same text for the same text only. */
  digest(text: string): string;
}
