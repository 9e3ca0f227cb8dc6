import type { HandedIn } from './handed-in';

/** A question as the desk lists it from the sheet. */
export interface ListedQuestion {
  readonly id: string;
  readonly asks: string;
  readonly marks: number;
  readonly kind: string;
  /** Of a written question: what stands in its cell before anything is written. */
  readonly blank?: string;
}

/** A sheet as the front page lists it. */
export interface ListedSheet {
  readonly name: string;
  readonly title: string;
  /** The student's copy, relative to the work folder. */
  readonly path: string;
  readonly opened: boolean;
  readonly questions: readonly ListedQuestion[];
  /** Questions that have a verdict or a written answer, with their state. */
  readonly states: Readonly<Record<string, string>>;
  readonly marks: number;
  readonly handedIn?: HandedIn;
  /** Of a copy that the browser keeps: how it stands to the last file made of it. */
  readonly download?: Download;
  /** One sentence when the sheet cannot be used. */
  readonly problem?: string;
}

/** How what a student wrote stands to the last file that was made of it. */
export type Download =
  /** Nothing was written yet. */
  | { readonly kind: 'blank' }
  /** All that was written is in that file. */
  | { readonly kind: 'whole'; readonly at: number; readonly brought?: boolean }
  /** Something was written since then, or no file was made yet. Times in ms since 1970. */
  | { readonly kind: 'behind'; readonly at: number | undefined };

/** A notebook in the work folder that is no sheet's. */
export interface OtherNotebook {
  readonly path: string;
  /** One sentence when it cannot be opened. */
  readonly problem?: string;
}

/** All that is told of a student's notebooks. */
export interface SheetList {
  /** Where they lie; null where the browser itself keeps them. */
  readonly folder: string | null;
  readonly student: string | null;
  readonly sheets: readonly ListedSheet[];
  readonly others: readonly OtherNotebook[];
  /** Where returns are marked, on an instructor's desk. */
  readonly marking?: string;
}

/** A sheet opened; `fresh` is the version of a copy just made, which holds nothing but the original's own cells. */
export interface OpenedSheet {
  readonly path: string;
  readonly fresh?: string;
}
