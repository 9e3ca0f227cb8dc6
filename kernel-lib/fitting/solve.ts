import { norm, type VectorFunction } from './derivatives';
import type { FitResult } from './fit-result';
import { backSubstitute, inverseNormal, type Triangle, triangulate } from './householder';
import {
  type Damping,
  type Descent,
  descend,
  type LeastSquares,
  type Stopping,
} from './levenberg-marquardt';

/** Tried in turn; the second sets out from where the linear parameters had their best values all along. */
const dampings: readonly Damping[] = [
  { start: 1e-3, scaling: 'largest', curved: false },
  { start: 1e-3, scaling: 'largest', curved: true },
  { start: 1, scaling: 'present', curved: true },
  { start: 1e-3, scaling: 'largest', curved: false },
  { start: 1e3, scaling: 'present', curved: false },
  { start: 1e-8, scaling: 'present', curved: false },
];

/**
 * Minimise a problem and say everything about the result.
 *
 * @param problem what is minimised, already divided by u
 * @param start first guess
 * @param points weights: 1/u of each point; absolute: whether u was given
 * @param stopping largest number of iterations for each way of damping, and when to stop
 */
export function solve(
  problem: LeastSquares,
  start: readonly number[],
  points: { readonly weights: Float64Array; readonly absolute: boolean },
  stopping: Stopping,
): FitResult {
  const degreesOfFreedom = problem.observed.length - start.length;
  const { run } = bestDescent(problem, start, stopping);
  const reducedChiSquare = degreesOfFreedom > 0 ? run.chiSquare / degreesOfFreedom : Number.NaN;
  const factor = degreesOfFreedom > 0 ? reducedChiSquare : Infinity;
  const { covariance, determined } = covarianceOf(run.triangle, points.absolute, factor);
  return {
    parameters: run.parameters.map((value, j) => ({ value, u: Math.sqrt(covariance[j][j]) })),
    covariance,
    absolute: points.absolute,
    converged: run.converged && determined,
    message: messageOf(run, determined),
    chiSquare: run.chiSquare,
    degreesOfFreedom,
    reducedChiSquare,
    residuals: unweighted(run.residuals, points.weights),
    iterations: run.iterations,
  };
}

/** Try one way after the other until one ends at a minimum that fixes every parameter; else keep the best. */
function bestDescent(problem: LeastSquares, start: readonly number[], stopping: Stopping): Try {
  let best: Try | undefined;
  for (const [index, damping] of dampings.slice(0, stopping.ways).entries()) {
    const from = index === 1 ? projectedStart(problem, start, damping, stopping) : start;
    const run = descend(problem, from, damping, stopping);
    const sound = run.converged && covarianceOf(run.triangle, true, 1).determined;
    if (sound) return { run, sound };
    if (!best || run.chiSquare < best.run.chiSquare) best = { run, sound };
    if (stopping.hopeless?.(run.parameters)) break;
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
  stopping: Stopping,
): readonly number[] {
  const linear = linearParameters(problem, start);
  if (linear.length === 0 || linear.length === start.length) return start;
  const rest = withoutLinear(problem, start, linear);
  const run = descend(rest.problem, rest.start, damping, stopping);
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

function unweighted(residuals: Float64Array, weights: Float64Array): Float64Array {
  const out = new Float64Array(residuals.length);
  for (let i = 0; i < out.length; i++) out[i] = residuals[i] / weights[i];
  return out;
}

/**
 * Covariance of the parameters from the triangle R of the weighted Jacobian.
 *
 * With given uncertainties it is (JᵀJ)⁻¹; without, that times the reduced χ², since the scatter of the residuals is
 * then the only thing that tells how uncertain a point is. A parameter that the data do not determine has u = ∞.
 */
function covarianceOf(
  triangle: Triangle,
  absolute: boolean,
  reducedChiSquare: number,
): { covariance: number[][]; determined: boolean } {
  const inverse = inverseNormal(triangle);
  const count = triangle.rows.length;
  if (!inverse) {
    const infinite = Array.from({ length: count }, (_, i) =>
      Array.from({ length: count }, (__, j) => (i === j ? Infinity : 0)),
    );
    return { covariance: infinite, determined: false };
  }
  const factor = absolute ? 1 : reducedChiSquare;
  return { covariance: inverse.map((row) => row.map((value) => value * factor)), determined: true };
}

/** Which parameters enter the model as plain factors or sums, found by trying; bounded ones are left out. */
function linearParameters(
  { model, observed, bounds }: LeastSquares,
  at: readonly number[],
): number[] {
  const value = (shifts: readonly number[]) => {
    const out = new Float64Array(observed.length);
    model(
      at.map((p, j) => p + shifts[j]),
      out,
    );
    return out;
  };
  const none = at.map(() => 0);
  const base = value(none);
  const linear: number[] = [];
  const shifts = [...none];
  let together = base;
  at.forEach((p, j) => {
    if (bounds[j]) return;
    const shift = -0.7 * p || 1;
    const single = value(none.map((_, k) => (k === j ? shift : 0)));
    const double = value(none.map((_, k) => (k === j ? 2 * shift : 0)));
    shifts[j] = shift;
    const joint = value(shifts);
    const size = 1e-10 * Math.max(norm(base), norm(single), norm(double), norm(joint));
    const straight = double.map((d, i) => d - 2 * single[i] + base[i]);
    const additive = joint.map((d, i) => d - together[i] - single[i] + base[i]);
    if (norm(straight) <= size && norm(additive) <= size) {
      linear.push(j);
      together = joint;
    } else shifts[j] = 0;
  });
  return linear;
}

/**
 * The same problem in the other parameters only: the linear ones are set to their best values at every point
 * ("variable projection"). It takes the strongly curved valleys out of sums of exponentials and the like.
 *
 * @see Golub and Pereyra, SIAM J. Numer. Anal. 10, 413 (1973) (from memory)
 */
function withoutLinear(
  problem: LeastSquares,
  start: readonly number[],
  linear: readonly number[],
): { problem: LeastSquares; start: number[]; complete: (rest: readonly number[]) => number[] } {
  const { model, observed, bounds } = problem;
  const others = start.map((_, j) => j).filter((j) => !linear.includes(j));
  const base = new Float64Array(observed.length);

  const complete = (rest: readonly number[]) => {
    const full = start.map(() => 0);
    others.forEach((j, k) => {
      full[j] = rest[k];
    });
    model(full, base);
    const columns = linear.map((j) => {
      const column = new Float64Array(observed.length);
      model(
        full.map((p, k) => (k === j ? 1 : p)),
        column,
      );
      return column.map((value, i) => value - base[i]);
    });
    const sizes = columns.map((column) => norm(column) || 1);
    const scaled = columns.map((column, j) => column.map((value) => value / sizes[j]));
    const right = observed.map((value, i) => value - base[i]);
    const best = backSubstitute(triangulate(scaled, right));
    linear.forEach((j, k) => {
      full[j] = best[k] / sizes[k];
    });
    return full;
  };
  const projected: VectorFunction = (rest, out) => model(complete(rest), out);
  return {
    problem: { observed, model: projected, bounds: others.map((j) => bounds[j]) },
    start: others.map((j) => start[j]),
    complete,
  };
}
