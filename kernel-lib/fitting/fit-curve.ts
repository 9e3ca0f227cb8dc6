import type { Bound, VectorFunction } from './derivatives';
import { checkPoints, type FitData } from './fit-data';
import { covarianceOf, type FitResult } from './fit-result';
import type { LeastSquares } from './least-squares';
import { type Damping, type Descent, descend } from './levenberg-marquardt';
import { linearParameters, withoutLinear } from './linear-part';

/** Settings of `fitCurve`; every one may be left out. */
export interface FitOptions<X = number> {
  /** [low, high] of each parameter; undefined or ±Infinity where there is none. */
  readonly bounds?: readonly (Bound | undefined)[];
  /** Largest number of steps from one kind of start, default 1000. */
  readonly maxIterations?: number;
  /** Writes df/dp_j at x into out[j], when the derivatives are known by formula. */
  readonly derivatives?: (x: X, parameters: readonly number[], out: Float64Array) => void;
}

/** Tried in turn; the second sets out from where the linear parameters had their best values all along. */
const dampings: readonly Damping[] = [
  { start: 1e-3, scaling: 'largest', curved: true },
  { start: 1e-3, scaling: 'largest', curved: true },
  { start: 1, scaling: 'present', curved: true },
  { start: 1e-3, scaling: 'largest', curved: false },
  { start: 1e3, scaling: 'present', curved: false },
  { start: 1e-8, scaling: 'present', curved: false },
];

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
  const columns = derivatives && columnsBy(derivatives, x, weights, start.length);
  const problem: LeastSquares = {
    observed: y.map((value, i) => value * weights[i]),
    model: weighted,
    columns,
    bounds,
  };
  checkModel(problem, x, start);

  const degreesOfFreedom = size - start.length;
  const { run } = bestDescent(problem, start, options.maxIterations ?? 1000);
  const reducedChiSquare = degreesOfFreedom > 0 ? run.chiSquare / degreesOfFreedom : Number.NaN;
  const factor = degreesOfFreedom > 0 ? reducedChiSquare : Infinity;
  const { covariance, determined } = covarianceOf(run.triangle, absolute, factor);
  return {
    parameters: run.parameters.map((value, j) => ({ value, u: Math.sqrt(covariance[j][j]) })),
    covariance,
    converged: run.converged && determined,
    message: messageOf(run, determined),
    chiSquare: run.chiSquare,
    degreesOfFreedom,
    reducedChiSquare,
    residuals: run.residuals.map((value, i) => value / weights[i]),
    iterations: run.iterations,
  };
}

/** Try one way after the other until one ends at a minimum that fixes every parameter; else keep the best. */
function bestDescent(problem: LeastSquares, start: readonly number[], maxIterations: number): Try {
  let best: Try | undefined;
  for (const [index, damping] of dampings.entries()) {
    const from = index === 1 ? projectedStart(problem, start, damping, maxIterations) : start;
    const run = descend(problem, from, damping, maxIterations);
    const sound = run.converged && covarianceOf(run.triangle, true, 1).determined;
    if (sound) return { run, sound };
    if (!best || run.chiSquare < best.run.chiSquare) best = { run, sound };
  }
  return best as Try;
}

interface Try {
  readonly run: Descent;
  readonly sound: boolean;
}

/** Where the fit ends when the linear parameters always have their best values; the start itself if there are none. */
function projectedStart(
  problem: LeastSquares,
  start: readonly number[],
  damping: Damping,
  maxIterations: number,
): readonly number[] {
  const linear = linearParameters(problem, start);
  if (linear.length === 0 || linear.length === start.length) return start;
  const rest = withoutLinear(problem, start, linear);
  const run = descend(rest.problem, rest.start, damping, maxIterations);
  const full = rest.complete(run.parameters);
  return full.every(Number.isFinite) ? full : start;
}

function messageOf(run: Descent, determined: boolean): string {
  if (!determined)
    return 'The data do not determine every parameter: two of them do the same thing, or one does nothing. Fix one, or start elsewhere.';
  if (!run.converged)
    return `No minimum was reached after ${run.iterations} iterations: start nearer to the data, or check the model.`;
  return `Minimum reached after ${run.iterations} iterations.`;
}

function columnsBy<X>(
  derivatives: NonNullable<FitOptions<X>['derivatives']>,
  x: ArrayLike<X>,
  weights: Float64Array,
  count: number,
) {
  return (parameters: number[]) => {
    const list = Array.from({ length: count }, () => new Float64Array(weights.length));
    const row = new Float64Array(count);
    for (let i = 0; i < weights.length; i++) {
      derivatives(x[i], parameters, row);
      for (let j = 0; j < count; j++) list[j][i] = row[j] * weights[i];
    }
    return list;
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
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      throw new RangeError(
        `start[${j}] is ${String(value)}: every parameter needs a finite first guess.`,
      );
    }
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
