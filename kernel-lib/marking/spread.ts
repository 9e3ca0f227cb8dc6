import { fromUnit } from '../quantity/known-unit';
import type { PlainAnswer } from '../questions/answer';
import { givensFor } from '../questions/draw';
import type { AnyKey } from '../questions/sheet';
import { openForms } from '../questions/sheet';

import type { MarkRecord } from './record';

/** How far the answers to a question with one number lie from what was expected. */
export interface Spread {
  readonly question: string;
  /** Answer over expected value, one for each student who handed a number in. */
  readonly ratios: readonly number[];
}

function siValue(answer: PlainAnswer | undefined, unit: string): number | undefined {
  if (answer?.is === 'quantity') return Number(answer.value);
  if (answer?.is !== 'number' && answer?.is !== 'measured') return undefined;
  return fromUnit(Number(answer.value), unit);
}

/** Answers over expected values, of every question that asks for one number. */
export function spreads(key: AnyKey, records: readonly MarkRecord[]): Spread[] {
  const givens = records.map(({ student }) => givensFor(key.sheet, student));
  return openForms(key).flatMap((question) => {
    if (question.kind !== 'number') return [];
    const ratios = records.flatMap(({ answers }, i) => {
      const value = siValue(answers[question.id], question.unit);
      const ratio = value === undefined ? Number.NaN : value / question.expected(givens[i]);
      return Number.isFinite(ratio) ? [ratio] : [];
    });
    return [{ question: question.id, ratios }];
  });
}
