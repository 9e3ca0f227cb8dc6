import { counted as howMany } from '../figures/shown';
import { byStudentAndSheet, type Chosen, type PassedOver, passOver } from './choose';
import type { FoundReturn } from './found-return';
import { daysLate, type Earned, earned, type LateRule } from './late';
import type { MarkRecord } from './record';

/** What lateness depends on. */
export interface Lateness {
  readonly late: LateRule | undefined;
  /** Days that students were granted. */
  readonly extraDays: ReadonlyMap<string, number>;
}

/**
 * The returns that are marked where the best counts: of those with the same text the one that is least late, the
 * latest of these. A file that names another student is left aside where there is one that does not.
 */
export function returnsToCompare(
  found: readonly FoundReturn[],
  { late, extraDays }: Lateness,
): Chosen {
  const days = ({ time, student }: FoundReturn) =>
    late ? daysLate(time, late, extraDays.get(student)) : 0;
  const counted: FoundReturn[] = [];
  const passedOver: PassedOver[] = [];
  for (const [latest, ...earlier] of byStudentAndSheet(found)) {
    const byText = new Map([[latest.digest, [latest]]]);
    for (const one of earlier) {
      if (one.namesAnother && !latest.namesAnother) passedOver.push(namedOtherwise(one, latest));
      else byText.set(one.digest, [...(byText.get(one.digest) ?? []), one]);
    }
    for (const same of byText.values()) {
      const first = same.reduce((a, b) => (days(b) < days(a) ? b : a));
      counted.push(first);
      for (const one of same) if (one !== first) passedOver.push(passOver(one, first));
    }
  }
  return { counted, passedOver };
}

const namedOtherwise = (one: FoundReturn, { path }: FoundReturn): PassedOver => ({
  path: one.path,
  student: one.student,
  sheet: one.sheet,
  reason: 'another counts',
  why: `This file’s name says another student than the notebook; that of ${path} does not.`,
});

const inWords = ({ marks, daysLate: days, counted }: Earned) =>
  days > 0
    ? `${howMany(marks, 'mark')} (${counted} after ${howMany(days, 'day')} late)`
    : howMany(marks, 'mark');

/**
 * Of the returns of one student and sheet the one with most marks after the deduction for days late; of equals the
 * later one.
 *
 * @param compared as `returnsToCompare` gives them
 * @param records of those that could be run, with the marks that people gave
 */
export function chooseBest(
  compared: readonly FoundReturn[],
  records: readonly MarkRecord[],
  { late, extraDays }: Lateness,
): Chosen & { readonly records: MarkRecord[] } {
  const byPath = new Map(records.map((record) => [record.path, record]));
  const counted: FoundReturn[] = [];
  const passedOver: PassedOver[] = [];
  const best: MarkRecord[] = [];
  for (const group of byStudentAndSheet(compared)) {
    const marked = group.flatMap((one) => {
      const record = byPath.get(one.path);
      const extra = extraDays.get(one.student);
      return record ? [{ one, record, worth: earned(record, late, extra) }] : [];
    });
    if (marked.length === 0) continue;
    const first = marked.reduce((a, b) => (b.worth.counted > a.worth.counted ? b : a));
    counted.push(first.one);
    best.push(first.record);
    for (const { one, worth } of marked) {
      if (one === first.one) continue;
      const { path, student, sheet } = one;
      const why = `${first.one.path} counts with ${inWords(first.worth)}; this one has ${inWords(worth)}.`;
      const { marks, counted: after } = worth;
      passedOver.push({
        path,
        student,
        sheet,
        reason: 'another counts',
        why,
        marks,
        counted: after,
      });
    }
  }
  return { counted, passedOver, records: best };
}
