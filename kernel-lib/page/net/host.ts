import type { CellNames } from '../../cells/follow';
import type { Notebook } from '../../notebook/notebook';
import type { Download, OpenedSheet, SheetList } from '../../travels/sheet-list';
import type { Store } from '../store';

/** What the page stands on: where notebooks are kept, and what runs their cells. */
export interface Host {
  readonly files: FileStore;
  /** Tells apart what several pages of one origin keep. */
  readonly place: string;
  /** The kernel of a notebook; not started before it is opened. */
  kernelFor(path: string): KernelLine;
  /** What opens a room for an audience, where something can. */
  readonly room?: () => Promise<typeof import('../bench/room')>;
  /** Of a page that the browser itself keeps. */
  readonly renewal?: Renewal;
}

/** The page as the browser keeps it. */
export interface Renewal {
  /** Whether it opens without a connection. */
  readonly isKept: Store<boolean>;
  /** Whether a newer version was fetched and waits; what is open goes on as it is. */
  readonly isWaiting: Store<boolean>;
  /** Change to the newer version: the page is loaded anew. */
  change(): void;
}

/** Where the student's notebooks are kept. Whatever fails is a `StoreError` with a sentence for the reader. */
export interface FileStore {
  /** How the sheets stand, and whose they are. */
  list(): Promise<SheetList>;
  /** The student's own copy of a sheet, made from the original the first time. */
  open(sheet: string): Promise<OpenedSheet>;
  read(path: string): Promise<NotebookFile>;
  /** The version that is kept now. */
  versionOf(path: string): Promise<string>;
  /**
   * Keep a notebook in the place of `version`, or as a new file where that is `nothing`.
   *
   * @returns its version
   * @throws StoreError `changed` when another version is there by now; that one is left alone
   */
  save(path: string, notebook: Notebook, version: string | 'nothing'): Promise<string>;
  /** Keep the student number, and put it into the sheets that were opened before. */
  setStudent(student: string): Promise<void>;
  /** Pictures and tables beside the notebooks, which `fileBeside` reads in their cells. */
  readonly beside: FilesBeside;
  /** Of copies that the browser keeps: the ways out of it and back in. A folder on a disk has its own. */
  readonly carrying?: Carrying;
}

/** Files beside the notebooks, by their plain names. Whatever fails is a `StoreError`. */
export interface FilesBeside {
  names(): Promise<readonly string[]>;
  /** @throws StoreError `missing` */
  read(name: string): Promise<Uint8Array>;
  /** Keep a new file. @throws StoreError `changed` where one of that name is there; that one is left alone */
  keep(name: string, bytes: Uint8Array): Promise<void>;
}

/** How well the browser keeps what it is given. */
export type Keeping =
  /** Until a person clears it. */
  | 'promised'
  /** Unless room runs short. */
  | 'not promised'
  /** Not at all: it is in this tab alone. */
  | 'nowhere';

/** A file to be saved where the browser keeps its downloads. */
export interface MadeFile {
  readonly name: string;
  readonly content: string | Uint8Array;
}

/** Ways out of the browser and back in, for copies that a browser may lose. */
export interface Carrying {
  keeping(): Promise<Keeping>;
  /** How the work in this notebook stands to the last file made of it. */
  download(path: string, notebook: Notebook): Promise<Download>;
  /** Note that a file was made of this notebook, or that it came out of one. */
  made(path: string, notebook: Notebook, brought?: boolean): Promise<void>;
  /** All copies in one zip, named and laid out as a desk's folder is. */
  everything(): Promise<MadeFile>;
  /**
   * Take files in: notebooks, or zips of them. What stands in a place is kept beside it before it is replaced.
   *
   * @returns what became of each, in sentences
   */
  bringIn(files: readonly File[]): Promise<readonly string[]>;
}

/** A notebook as it is kept, with the version that names exactly this content. */
export interface NotebookFile {
  readonly notebook: Notebook;
  readonly version: string;
}

/** Why a store did not do what it was asked. */
export type StoreFault =
  /** Another version is kept by now. */
  | 'changed'
  | 'missing'
  /** What is kept is no notebook. */
  | 'damaged'
  /** Nothing answers; it may again. */
  | 'away'
  /** It answers, but does not know this page any more. */
  | 'stranger'
  /** There is no room, or no leave to write. */
  | 'closed'
  | 'refused';

export class StoreError extends Error {
  /** @param advice what to do about it, for a reader whose text waits to be saved */
  constructor(
    readonly fault: StoreFault,
    message: string,
    readonly advice = '',
  ) {
    super(message);
  }
}

/** True for a fault of this kind. */
export const isFault = (error: unknown, ...faults: StoreFault[]): error is StoreError =>
  error instanceof StoreError && faults.includes(error.fault);

export type KernelState =
  | { kind: 'starting' }
  | { kind: 'ready' }
  | { kind: 'busy' }
  | { kind: 'restarting' }
  /** Out of reach, trying again; `why` is a sentence. */
  | { kind: 'away'; why: string }
  /** It ended, or would not start; `why` is a sentence. */
  | { kind: 'ended'; why: string };

/** A line to the kernel of one notebook, which it keeps in reach by itself. Places in code are indices into the string. */
export interface KernelLine {
  /** Whether cells run in the page's own process, and may end it. */
  readonly mayEndPage?: boolean;
  readonly state: Store<KernelState>;
  /** Counts kernels met: a new number means that nothing has been run in this one yet. */
  readonly kernels: Store<number>;
  /** Start the kernel or find it, however long it takes. */
  open(): Promise<void>;
  /**
   * Run code.
   *
   * @param onOutput gets what the kernel publishes for it
   * @param onAsk gets what it asks of the reader, with the way to answer
   * @param cell by which the kernel knows it again
   * @param cells the code cells of the notebook, from the top down
   * @throws CutOff when the kernel ends or is restarted meanwhile
   */
  execute(
    code: string,
    onOutput: (message: Published) => void,
    onAsk: (question: string, answer: (text: string) => void) => void,
    cell: string,
    cells?: readonly string[],
  ): Promise<Executed>;
  /** Cells that ran in this kernel before this page knew it, in the order in which each last ran; none that cannot be had. */
  ran(): Promise<readonly RanBefore[]>;
  /** What could stand at a place. Undefined when no kernel is in reach. */
  complete(code: string, at: number): Promise<Completions | undefined>;
  /** Type and description of what stands at a place. */
  inspect(code: string, at: number): Promise<string | undefined>;
  /** Tell the slider `id` of a cell that has run where it is to be, in its unit. Cells that run after this see it. */
  move(id: string, value: number): Promise<void>;
  /** Stop what runs; the kernel keeps its values. */
  interrupt(): Promise<void>;
  /** A fresh kernel: every value computed so far is forgotten. */
  restart(): Promise<void>;
  /** End it, where it lives in this page alone. */
  close?(): void;
}

/** What a kernel publishes for a cell: Jupyter's message type and content. */
export interface Published {
  readonly header: { readonly msg_type: string };
  // biome-ignore lint/suspicious/noExplicitAny: each message type has its own content, read in sheet/outputs.ts
  readonly content: any;
}

/** A cell that ran earlier. */
export interface RanBefore {
  readonly cell: string;
  /** The source that it had. */
  readonly source: string;
  readonly names?: CellNames;
}

/** How a cell ended. */
export interface Executed {
  readonly ok: boolean;
  /** The number of this run. */
  readonly count: number | null;
  /** What it has to do with variables; left out where it did not convert. */
  readonly names?: CellNames;
}

export interface Completions {
  /** Where what they replace begins. */
  readonly from: number;
  readonly matches: readonly {
    readonly text: string;
    readonly type?: string;
    readonly signature?: string;
  }[];
}

/** Says that an execution was cut off: the kernel ended or was restarted while the cell ran. */
export class CutOff extends Error {}
