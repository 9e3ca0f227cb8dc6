import type { AnySheet } from './sheet';
import { type SheetState, sheetState } from './sheet-state';
import type { Verdict } from './verdict';

/** The sheet that is being worked on in this kernel. */
export interface Work {
  readonly sheet: AnySheet;
  readonly student: string;
  readonly given: object;
  /** The last verdict on each question. */
  readonly verdicts: Map<string, Verdict>;
  /** The last answer to each question, as it was handed in. */
  readonly answers: Map<string, unknown>;
}

let current: Work | undefined;

/**
 * The sheet being worked on, with all that was handed in; undefined before `begin`.
 *
 * @example
 * begin('02-one-slit', '204117');
 * workNow().student // '204117'
 */
export const workNow = (): Work | undefined => current;

/** Begin, or go on where the same student left the same sheet. */
export function startWork(sheet: AnySheet, student: string, given: object): Work {
  const goesOn = current?.sheet.name === sheet.name && current.student === student;
  const { verdicts, answers } =
    goesOn && current ? current : { verdicts: new Map(), answers: new Map() };
  current = { sheet, student, given, verdicts, answers };
  return current;
}

/**
 * Forget the sheet being worked on.
 *
 * @example
 * begin('02-one-slit', '204117');
 * endWork();
 * standing() // undefined
 */
export function endWork(): void {
  current = undefined;
}

/**
 * Where the sheet being worked on stands, for the kernel and the page; undefined before `begin`.
 *
 * @example
 * begin('02-one-slit', '204117');
 * standing().questions[0].state // 'open'
 */
export function standing(): SheetState | undefined {
  return current && sheetState(current.sheet, current.verdicts);
}
