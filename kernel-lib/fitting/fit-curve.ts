import { requireFinite } from '../numerics/require';
import type { Bound, VectorFunction } from './derivatives';
import { checkPoints, type FitData } from './fit-data';
import type { FitResult } from './fit-result';
import type { LeastSquares } from './levenberg-marquardt';
import { solve } from './solve';

/** Settings of `fitCurve`; every one may be left out. */
export interface FitOptions<X = number> {
  /** [low, high] of each parameter; undefined or ±Infinity where there is none. */
  readonly bounds?: readonly (Bound | undefined)[];
  /** Largest number of steps from one kind of start, default 1000. */
  readonly maxIterations?: number;
  /** Writes df/dp_j at x into out[j], when the derivatives are known by formula. */
  readonly derivatives?: (x: X, parameters: readonly number[], out: Float64Array) => void;
}

/**
 * Fit the parameters p of a model to measured points by least squares.
 *
 *   χ² = Σ ((y − model(x, p)) / u)² → minimum
 *
 * Levenberg–Marquardt with damping in units of the parameters' own effect, steps relative to the length over which
 * the model changes, and QR throughout: a fit in metres works as one in micrometres.
 *
 * With `u` given, the covariance is absolute: (JᵀWJ)⁻¹. Without it, all points weigh the same and the covariance is
 * scaled by the reduced χ², that is, the scatter of the residuals is taken for the uncertainty.
 *
 * @param model value at x for the parameters p
 * @param data points: x as the model takes it, y and u in one unit
 * @param start first guess, one number per parameter; its length says how many there are
 * @param options bounds, derivatives by formula, largest number of iterations
 * @returns values and standard uncertainties in the units of the start, with covariance, χ² and residuals
 * @throws RangeError on NaN, too few points, lists of unequal length, a start outside its bounds, or a model that
 * gives no number at the start
 * @see More in fit-result.ts; certified values in the NIST Statistical Reference Datasets
 * @example fitCurve((x, [a, b]) => a * Math.exp(-b * x), { x: [0, 1, 2], y: [4, 2, 1] }, [1, 1]).parameters[1].value // 0.6931
 */
export function fitCurve<X = number>(
  model: (x: X, parameters: readonly number[]) => number,
  data: FitData<X>,
  start: readonly number[],
  options: FitOptions<X> = {},
): FitResult {
  const bounds = checkStart(start, options.bounds);
  const { y, weights, absolute } = checkPoints(data, start.length);
  const { x } = data;
  const size = y.length;
  const weighted: VectorFunction = (parameters, out) => {
    for (let i = 0; i < size; i++) out[i] = model(x[i], parameters) * weights[i];
  };
  const { derivatives } = options;
  const both = derivatives && bothBy(model, derivatives, x, weights);
  const problem: LeastSquares = {
    observed: y.map((value, i) => value * weights[i]),
    model: weighted,
    both,
    bounds,
  };
  checkModel(problem, x, start);

  return solve(
    problem,
    start,
    { weights, absolute },
    {
      maxIterations: options.maxIterations ?? 1000,
      tolerance: 1e-9,
    },
  );
}

function bothBy<X>(
  model: (x: X, parameters: readonly number[]) => number,
  derivatives: NonNullable<FitOptions<X>['derivatives']>,
  x: ArrayLike<X>,
  weights: Float64Array,
): LeastSquares['both'] {
  return (parameters, values, columns) => {
    const row = new Float64Array(columns.length);
    for (let i = 0; i < weights.length; i++) {
      values[i] = model(x[i], parameters) * weights[i];
      derivatives(x[i], parameters, row);
      for (let j = 0; j < row.length; j++) columns[j][i] = row[j] * weights[i];
    }
  };
}

function checkStart(
  start: readonly number[],
  bounds: FitOptions['bounds'],
): readonly (Bound | undefined)[] {
  if (!Array.isArray(start) || start.length === 0) {
    throw new TypeError(
      'The start is a list with one number for each parameter, such as [1, 0.5].',
    );
  }
  if (bounds && bounds.length !== start.length) {
    throw new RangeError(
      `There are ${bounds.length} bounds for ${start.length} parameters: give [low, high] or undefined for each.`,
    );
  }
  return start.map((value, j) => {
    requireFinite(`start[${j}]`, value, 'every parameter needs a first guess');
    const bound = bounds?.[j];
    if (!bound) return undefined;
    if (!(bound[0] < bound[1])) {
      throw new RangeError(
        `bounds[${j}] is [${bound.join(', ')}]: the lower one must come first and differ.`,
      );
    }
    if (value < bound[0] || value > bound[1]) {
      throw new RangeError(
        `start[${j}] is ${value}, outside its bounds ${bound[0]} to ${bound[1]}: start inside them.`,
      );
    }
    return bound;
  });
}

function checkModel<X>(
  { model, observed }: LeastSquares,
  x: ArrayLike<X>,
  start: readonly number[],
) {
  const out = new Float64Array(observed.length);
  model([...start], out);
  const bad = out.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) {
    throw new RangeError(
      `The model gives ${out[bad]} at x = ${String(x[bad])} with the start [${start.join(', ')}]: start where it is a finite number, or set bounds.`,
    );
  }
}
