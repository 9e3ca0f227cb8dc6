import { checkPoints, type FitData } from './fit-data';
import type { FitResult, Fitted } from './fit-result';

/** A straight line through measured points. */
export interface FittedLine extends FitResult {
  /** Value of y at x = 0. */
  readonly intercept: Fitted;
  /** Change of y per x. */
  readonly slope: Fitted;
  /** Covariance of intercept and slope divided by both u: usually near −1 when x = 0 lies far from the points. */
  readonly correlation: number;
  /** The line at x, with the standard uncertainty of the line there (not of a single reading). */
  readonly at: (x: number) => Fitted;
}

/**
 * Fit a straight line y = a + b x by least squares, weighted with 1/u² where u is given.
 *
 *   b = Σ w (x − x̄)(y − ȳ) / Σ w (x − x̄)²,  a = ȳ − b x̄,  x̄ = Σ w x / Σ w
 *
 * With `u` the covariance is absolute; without it, it is scaled by the reduced χ², as in `fitCurve`.
 *
 * @param data x without uncertainty; y and u in one unit
 * @returns intercept and slope in the units of y and y/x, covariance, χ², residuals
 * @throws RangeError on fewer than two points, NaN, lists of unequal length, or x values that are all equal
 * @see JCGM 100:2008, H.3 (calibration line; the section is cited from memory)
 * @example fitLine({ x: [0, 1, 2, 3], y: [1, 3, 5, 7] }).slope.value // 2
 */
export function fitLine(data: FitData): FittedLine {
  const { y, weights, absolute } = checkPoints(data, 2);
  const x = Float64Array.from(data.x);
  const w = weights.map((weight) => weight * weight);
  const total = sum(w, () => 1);
  const meanX = sum(w, (i) => x[i]) / total;
  const meanY = sum(w, (i) => y[i]) / total;
  const spread = sum(w, (i) => (x[i] - meanX) ** 2);
  if (!(spread > 1e-26 * sum(w, (i) => x[i] * x[i]))) {
    throw new RangeError(
      `All x are ${x[0]}: a slope needs at least two different x. Take readings at another x.`,
    );
  }
  const b = sum(w, (i) => (x[i] - meanX) * (y[i] - meanY)) / spread;
  const a = meanY - b * meanX;
  const residuals = y.map((value, i) => value - meanY - b * (x[i] - meanX));
  const chiSquare = sum(w, (i) => residuals[i] ** 2);
  const degreesOfFreedom = y.length - 2;
  const reducedChiSquare = degreesOfFreedom > 0 ? chiSquare / degreesOfFreedom : Number.NaN;
  const factor = absolute ? 1 : degreesOfFreedom > 0 ? reducedChiSquare : Infinity;

  // The mean point and the slope are independent, which makes every variance a plain sum.
  const slopeVariance = factor / spread;
  const meanVariance = factor / total;
  const at = (where: number): Fitted => ({
    value: meanY + b * (where - meanX),
    u: Math.sqrt(meanVariance + (where - meanX) ** 2 * slopeVariance),
  });
  const intercept = { value: a, u: at(0).u };
  const slope = { value: b, u: Math.sqrt(slopeVariance) };
  const mixed = meanX === 0 ? 0 : -meanX * slopeVariance;
  return {
    intercept,
    slope,
    correlation: -meanX / Math.sqrt(spread / total + meanX * meanX),
    at,
    parameters: [intercept, slope],
    covariance: [
      [intercept.u ** 2, mixed],
      [mixed, slopeVariance],
    ],
    absolute,
    converged: true,
    message: 'A straight line has one minimum, found by formula.',
    chiSquare,
    degreesOfFreedom,
    reducedChiSquare,
    residuals,
    iterations: 1,
  };
}

function sum(weights: Float64Array, value: (i: number) => number): number {
  let total = 0;
  for (let i = 0; i < weights.length; i++) total += weights[i] * value(i);
  return total;
}
