import { covarianceOf, type FitResult } from './fit-result';
import type { LeastSquares, Stopping } from './least-squares';
import { type Damping, type Descent, descend } from './levenberg-marquardt';
import { linearParameters, withoutLinear } from './linear-part';

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
  for (const [index, damping] of dampings.entries()) {
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
