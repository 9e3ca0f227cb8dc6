import { deserialize, serialize } from 'node:v8';
import { givensFor } from '../questions/draw';
import type { AnyQuestion, AnySheet, SealedQuestion, WrittenQuestion } from '../questions/sheet';

/** What a confined child is given: emitted code and points to sample at, nothing of any key and no question's formula. */
export interface Job {
  readonly sheet: ClosedSheet;
  readonly student: string;
  readonly cells: readonly JobCell[];
  readonly questions: readonly JobQuestion[];
  /** Longest time for one cell, ms. */
  readonly cellTime: number;
}

export interface JobCell {
  readonly id: string;
  readonly text: string;
  readonly names: readonly string[];
  readonly modules: readonly string[];
  readonly isAsync: boolean;
  /** Whether what it shows is told. Of the sheet's own cells it is not: that is the same for everybody. */
  readonly shows?: boolean;
}

export interface JobQuestion {
  readonly id: string;
  /** Of functions: where to call them. */
  readonly sampling?: {
    readonly points: readonly (readonly number[])[];
    readonly signature: string;
  };
}

/** A line out of the child. Whatever a student's code forges, these are only values to be judged. */
export type ChildMessage =
  | { readonly at: 'ready' }
  | { readonly at: 'cell'; readonly id: string }
  | { readonly at: 'question'; readonly id: string }
  | { readonly at: 'end'; readonly answers: object; readonly cells: readonly object[] };

/** Under this symbol the child's global object holds the student number: every student's cell then has one text. */
export const studentSlot = 'multislit.student';

/** Bounds on what leaves the child. Sizes in UTF-16 units or bytes. */
export const bounds = { line: 1_000_000, messages: 2_000_000, message: 500 };

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

/**
 * A sheet as a confined child has it: one student's givens and what is asked, as data. No formula of any question is
 * in the child's process or on its disk, so nothing that runs there can come by one.
 */
export interface ClosedSheet {
  readonly name: string;
  readonly title: string;
  /** The givens as Node serialises them, in base64: arrays of numbers, NaN and the like stay what they are. */
  readonly given: string;
  readonly questions: readonly (SealedQuestion | WrittenQuestion)[];
}

/** The question without its formulas: whatever is handed in is only taken down. */
function closed(question: AnyQuestion): SealedQuestion | WrittenQuestion {
  const { id, asks, marks, kind } = question;
  if (kind === 'sealed' || kind === 'written') return question;
  return {
    kind: 'sealed',
    id,
    asks,
    marks,
    answer: kind,
    ...('unit' in question ? { unit: question.unit } : {}),
    ...('signature' in question ? { signature: question.signature } : {}),
  };
}

/** @throws Error where the givens are more than data */
export function closedSheet(sheet: AnySheet, student: string): ClosedSheet {
  const { name, title, questions } = sheet;
  let given: Buffer;
  try {
    given = serialize(givensFor(sheet, student));
  } catch (error) {
    throw new Error(
      `The givens of ${name} cannot be handed to students' code while it is marked: ${(error as Error).message} Numbers, words, lists and plain objects can.`,
    );
  }
  return { name, title, given: given.toString('base64'), questions: questions.map(closed) };
}

/** The sheet for `begin` and `check` in the child. */
export function sheetFrom({ given, ...sheet }: ClosedSheet): AnySheet {
  const bytes = Buffer.from(given, 'base64');
  return { ...sheet, givens: () => deserialize(bytes) };
}
