import type { Bound } from './derivatives';

export const clamp = (value: number, bound: Bound | undefined) =>
  bound ? Math.min(Math.max(value, bound[0]), bound[1]) : value;

/** `from` + step, kept inside the bounds. */
export const stepFrom = (
  from: readonly number[],
  step: ArrayLike<number>,
  bounds: readonly (Bound | undefined)[],
) => from.map((value, j) => clamp(value + step[j], bounds[j]));

/** a − b into out. */
export function subtract(a: Float64Array, b: Float64Array, out: Float64Array): void {
  for (let i = 0; i < a.length; i++) out[i] = a[i] - b[i];
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

export const square = (a: Float64Array) => dot(a, a);

export function squareOfDifference(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) {
    const d = a[i] - b[i];
    sum += d * d;
  }
  return sum;
}
