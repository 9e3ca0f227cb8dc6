import { type MarkRecord, marksOf } from './record';

/** What handing in late costs. */
export interface LateRule {
  /** ms since 1970. */
  readonly deadline: number;
  /** Share of the marks earned that each started day costs, 0…1. */
  readonly perDay: number;
  /** Deduct also by times that are in doubt. */
  readonly believeTimes?: boolean;
}

const day = 24 * 3600 * 1000;

/**
 * Started days after the deadline.
 *
 * @param time of the return, ms since 1970; unknown counts as in time, and the report says so
 * @param extraDays that this student was granted
 */
export function daysLate(time: number | undefined, rule: LateRule, extraDays = 0): number {
  if (time === undefined) return 0;
  return Math.max(0, Math.ceil((time - rule.deadline) / day - extraDays));
}

/**
 * Marks after the deduction, never below 0, to a tenth of a mark.
 *
 * @example afterDeduction(10, 2, 0.1) // 8
 */
export function afterDeduction(marks: number, days: number, perDay: number): number {
  return Math.round(10 * marks * Math.max(0, 1 - days * perDay)) / 10;
}

/** What a return earned, and what of that counts. */
export interface Earned {
  readonly marks: number;
  readonly daysLate: number;
  /** After the deduction for days late, to a tenth of a mark. */
  readonly counted: number;
  /** Nothing was deducted, since the time is in doubt: why. */
  readonly held?: string;
}

/** @param late nothing is deducted without a rule */
export function earned(
  record: Pick<MarkRecord, 'questions' | 'time' | 'doubt'>,
  late: LateRule | undefined,
  extraDays = 0,
): Earned {
  const marks = marksOf(record);
  const time = record.time === null ? undefined : Date.parse(record.time);
  const days = late ? daysLate(time, late, extraDays) : 0;
  if (days > 0 && record.doubt !== undefined && !late?.believeTimes)
    return { marks, daysLate: days, counted: marks, held: record.doubt };
  return { marks, daysLate: days, counted: afterDeduction(marks, days, late?.perDay ?? 0) };
}
