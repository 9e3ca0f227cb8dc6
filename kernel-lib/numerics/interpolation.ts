import { requireTable } from './require';

/** A function made from a table; it is `outside` (0 unless told) beyond the table's ends. */
export type Interpolant = (x: number) => number;

/** What an interpolant does beyond the ends of its table. */
export interface InterpolationOptions {
  /** The value beyond the ends, or 'hold' to keep the value at the end. Default 0. */
  readonly outside?: number | 'hold';
}

/**
 * Straight lines between the points of a table.
 *
 * @param xs ascending, at least two
 * @param ys as many values
 * @returns a function of x
 * @throws RangeError when the lengths differ, a number is not finite, or xs does not ascend
 * @example linearInterpolant([0, 10], [1, 3])(2.5) // 1.5
 */
export function linearInterpolant(
  xs: ArrayLike<number>,
  ys: ArrayLike<number>,
  options: InterpolationOptions = {},
): Interpolant {
  requireTable(xs, ys, 2);
  return within(xs, ys, options, (x, i) => {
    const t = (x - xs[i]) / (xs[i + 1] - xs[i]);
    return ys[i] + t * (ys[i + 1] - ys[i]);
  });
}

/**
 * The natural cubic spline through the points of a table: curvature is continuous, and 0 at both ends.
 *
 * @param xs ascending, at least three
 * @param ys as many values
 * @returns a function of x
 * @throws RangeError when the lengths differ, a number is not finite, or xs does not ascend
 * @example splineInterpolant([0, 1, 2], [0, 1, 0])(0.5) // 0.6875
 */
export function splineInterpolant(
  xs: ArrayLike<number>,
  ys: ArrayLike<number>,
  options: InterpolationOptions = {},
): Interpolant {
  requireTable(xs, ys, 3);
  const curvature = naturalCurvatures(xs, ys);
  return within(xs, ys, options, (x, i) => {
    const h = xs[i + 1] - xs[i];
    const b = (x - xs[i]) / h;
    const a = 1 - b;
    const bend = (a ** 3 - a) * curvature[i] + (b ** 3 - b) * curvature[i + 1];
    return a * ys[i] + b * ys[i + 1] + (bend * h * h) / 6;
  });
}

/** Second derivatives at the points, from the tridiagonal equations of a natural spline. */
function naturalCurvatures(xs: ArrayLike<number>, ys: ArrayLike<number>): Float64Array {
  const n = xs.length;
  const above = new Float64Array(n);
  const curvature = new Float64Array(n);
  for (let i = 1; i < n - 1; i++) {
    const left = xs[i] - xs[i - 1];
    const right = xs[i + 1] - xs[i];
    const jump = (ys[i + 1] - ys[i]) / right - (ys[i] - ys[i - 1]) / left;
    const pivot = 2 * (left + right) - left * above[i - 1];
    above[i] = right / pivot;
    curvature[i] = (6 * jump - left * curvature[i - 1]) / pivot;
  }
  for (let i = n - 2; i > 0; i--) curvature[i] -= above[i] * curvature[i + 1];
  return curvature;
}

function within(
  xs: ArrayLike<number>,
  ys: ArrayLike<number>,
  { outside = 0 }: InterpolationOptions,
  between: (x: number, interval: number) => number,
): Interpolant {
  const last = xs.length - 1;
  return (x) => {
    if (x < xs[0]) return outside === 'hold' ? ys[0] : outside;
    if (x > xs[last]) return outside === 'hold' ? ys[last] : outside;
    return between(x, intervalOf(xs, x));
  };
}

/** The interval i with xs[i] ≤ x ≤ xs[i + 1], found by halving. */
function intervalOf(xs: ArrayLike<number>, x: number): number {
  let low = 0;
  let high = xs.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (xs[middle] > x) high = middle;
    else low = middle;
  }
  return low;
}
