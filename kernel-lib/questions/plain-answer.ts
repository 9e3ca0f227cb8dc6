import { isMeasured } from '../quantity/measured';
import { isUnit, type Unit } from '../quantity/unit';
import { isBlank } from './blank';
import { kindOf } from './kind-of';
import { numberIn, unitKinds } from './read-number';
import { sampleFunction } from './sample-function';
import { say, sayError } from './say';

/** NaN and the infinities do not survive JSON as numbers. */
export type PlainNumber = number | 'NaN' | 'Infinity' | '-Infinity';

/** An answer as plain JSON, to be judged elsewhere: by the marker, away from the code that made it. */
export type PlainAnswer =
  | { readonly is: 'blank' }
  | { readonly is: 'number'; readonly value: PlainNumber }
  | { readonly is: 'measured'; readonly value: PlainNumber; readonly u: PlainNumber }
  /** `value` in the SI unit `si`. */
  | {
      readonly is: 'quantity';
      readonly value: PlainNumber;
      readonly si: string;
      readonly text: string;
    }
  | { readonly is: 'text'; readonly text: string }
  | { readonly is: 'list'; readonly items: readonly PlainAnswer[] }
  /** A function, called at the points that were asked for. */
  | { readonly is: 'samples'; readonly values: readonly PlainNumber[] }
  /** A function that could not be sampled, and why. */
  | { readonly is: 'failed'; readonly problem: string }
  /** Anything else: its kind in words. */
  | { readonly is: 'other'; readonly kind: string };

/** Longer lists and texts are no answer to any question. */
export const longestList = 10_000;
export const longestText = 10_000;

const plainNumber = (value: number): PlainNumber =>
  Number.isFinite(value) ? value : (String(value) as PlainNumber);

/** Where a function answer is to be tried. */
export interface Sampling {
  readonly points: readonly (readonly number[])[];
  readonly signature: string;
}

/**
 * Write an answer down as plain JSON.
 *
 * @param answer whatever a cell handed to `check`
 * @param sampling for a function: where to call it
 * @returns what `judgePlain` reads; never throws for an odd answer
 */
export function plainAnswer(answer: unknown, sampling?: Sampling, depth = 0): PlainAnswer {
  try {
    return written(answer, sampling, depth);
  } catch (error) {
    return { is: 'other', kind: `an object that cannot be read (${sayError(error)})` };
  }
}

function written(answer: unknown, sampling: Sampling | undefined, depth: number): PlainAnswer {
  if (isBlank(answer)) return { is: 'blank' };
  if (typeof answer === 'number') return { is: 'number', value: plainNumber(answer) };
  if (typeof answer === 'string') return { is: 'text', text: answer.slice(0, longestText) };
  if (isUnit(answer)) return writtenQuantity(answer);
  if (isMeasured(answer))
    return { is: 'measured', value: plainNumber(answer.value), u: plainNumber(answer.u) };
  const list = ArrayBuffer.isView(answer) ? Array.from(answer as Float64Array) : answer;
  if (Array.isArray(list) && depth < 2 && list.length <= longestList)
    return { is: 'list', items: Array.from(list, (x) => plainAnswer(x, undefined, depth + 1)) };
  if (typeof answer === 'function' && sampling) {
    const sampled = sampleFunction(answer, sampling.points, sampling.signature);
    if ('problem' in sampled) return { is: 'failed', problem: sampled.problem };
    return { is: 'samples', values: sampled.samples.map(plainNumber) };
  }
  return { is: 'other', kind: kindOf(answer) };
}

function writtenQuantity(quantity: Unit): PlainAnswer {
  const text = say(quantity, 'This quantity', 60);
  for (const si of unitKinds) {
    const value = numberIn(quantity, si);
    if (value !== undefined) return { is: 'quantity', value: plainNumber(value), si, text };
  }
  return { is: 'quantity', value: 'NaN', si: '', text };
}
