import { deserialize, serialize } from 'node:v8';
import { givensFor } from '../questions/draw';
import type { AnyQuestion, AnySheet, SealedQuestion, WrittenQuestion } from '../questions/sheet';

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
