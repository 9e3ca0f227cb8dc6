import type { JobCell } from './job';

/** A code cell on its way to the converter. */
export interface SourceCell {
  readonly id: string;
  readonly source: string;
  /** The sheet's own `check('2.1', name);`: what type the name has does not matter to it. */
  readonly isAnswer?: boolean;
  /** The student's own: what it shows is kept. */
  readonly isOwn?: boolean;
  /** A cell that the student added to those of the sheet. */
  readonly isAdded?: boolean;
}

/** A cell that does not convert. `line` counts from 1. */
export interface ConversionFault {
  readonly name: string;
  readonly message: string;
  readonly line?: number;
}

export type ConvertedCell =
  | { readonly id: string; readonly code: JobCell }
  | { readonly id: string; readonly fault: ConversionFault };

/** A place in emitted code, and after that in the cell. */
export interface Place {
  readonly id: string;
  readonly line: number;
  readonly column: number;
}

/** Processor time for one cell, and for all cells of a return together, ms. */
export interface ConversionTime {
  readonly cell: number;
  readonly all: number;
}

/** What the conversion process is asked. */
export type Asked =
  | { readonly convert: readonly SourceCell[]; readonly time: ConversionTime }
  | { readonly places: readonly Place[] };

/** What it says: the cell it is at, with the processor time taken so far; then all of them; or places in the cells of the last return. */
export type Answered =
  | { readonly at: string; readonly taken: number }
  | { readonly converted: readonly ConvertedCell[] }
  | { readonly places: readonly { readonly id: string; readonly line: number }[] };
