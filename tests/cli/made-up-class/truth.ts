/** What one question of a return must earn: by how its answer was made, never by judging it. */
export interface QuestionTruth {
  readonly state: 'agrees' | 'not yet' | 'to be read';
  readonly marks: number;
  readonly slip?: string;
  /** The hint of that slip, where the sheet has it as plain text. */
  readonly hint?: string;
  /** The earlier question, where this answer is right for the student's own answer to that one. */
  readonly follows?: string;
  /** Why there is nothing to judge, and words that must be said of it at the question. */
  readonly fault?: 'error' | 'stopped' | 'deleted' | 'renamed';
  readonly says?: string;
}

export interface ReturnTruth {
  readonly student: string;
  readonly sheet: string;
  /** The file that counts. */
  readonly path: string;
  readonly daysLate: number;
  readonly isNoted: boolean;
  readonly questions: Readonly<Record<string, QuestionTruth>>;
}

/** A class of invented students with all that marking must find. */
export interface ClassTruth {
  readonly roster: readonly { readonly student: string; readonly extraDays: number }[];
  /** Returns that count, under "SHEET STUDENT". */
  readonly returns: ReadonlyMap<string, ReturnTruth>;
  /** Every other file, with the outcome that must stand beside it. */
  readonly aside: ReadonlyMap<string, string>;
  /** "SHEET ONE OTHER" of students who handed in the same work. */
  readonly copied: readonly string[];
}

/** When the made-up returns were due, and what each started day costs, in percent. */
export const dueAt = Date.parse('2026-11-20T12:00:00Z');
export const latePercent = 10;

export const none: QuestionTruth = { state: 'not yet', marks: 0 };
