import { accelerate } from './accelerate';
import { backSubstitute, dampedStep, type Triangle } from './householder';
import type { LeastSquares, Stopping } from './least-squares';
import { Place } from './place';
import { square, stepFrom } from './steps';

/** How the steps are damped at first. `scaling`: by the largest column seen so far, or by the present one. */
export interface Damping {
  readonly start: number;
  readonly scaling: 'largest' | 'present';
  readonly curved: boolean;
}

/** Where a run ended. */
export interface Descent {
  readonly parameters: number[];
  readonly residuals: Float64Array;
  readonly chiSquare: number;
  /** R of the precise Jacobian at the end, all parameters included. */
  readonly triangle: Triangle;
  readonly converged: boolean;
  readonly iterations: number;
}

/** Below this squared cosine between residuals and tangent plane the quadratic model is trusted without damping. */
const closeBy = 1e-4;

/**
 * Where no step lowers χ², and a full one would change the model by less than a hundred times its rounding, the minimum is
 * as near as it can be known: points without noise, whose curve goes through them to the last digits.
 */
const unseen = 1e4;

/**
 * Levenberg–Marquardt descent, bent along the model's curvature where asked for, then undamped Gauss–Newton steps with
 * a precise Jacobian until the next one would be shorter than the tolerance.
 *
 * @see Marquardt, SIAM J. Appl. Math. 11, 431 (1963); Moré, Lecture Notes in Mathematics 630, 105 (1978), for the
 * scaling; Nielsen, report IMM-REP-1999-05, for the damping; Bates and Watts, Technometrics 23, 179 (1981), for the
 * measure of arrival (all from memory)
 */
export function descend(
  problem: LeastSquares,
  start: readonly number[],
  damping: Damping,
  { maxIterations, tolerance }: Stopping,
): Descent {
  const place = new Place(problem, start);
  const freedom = Math.max(1, problem.observed.length - start.length);
  const arrived = (tolerance * tolerance) / freedom;
  const scale = new Float64Array(start.length);
  let lambda = damping.start;
  let growth = 2;
  let trusted = closeBy;
  let before = Infinity;
  let smallest = Infinity;
  let notShrinking = 0;
  let converged = false;
  let iterations = 0;

  for (; iterations < maxIterations && !converged; iterations++) {
    const triangle = place.triangle(damping.curved);
    // What a full step would gain, by the quadratic model.
    const gain = square(triangle.right);
    const rate = before === Infinity ? 1 : Math.min(1, gain / before);
    rescale(scale, triangle, damping.scaling);

    if (gain <= trusted * place.chi || gain <= 4 * place.rounding()) {
      before = gain;
      notShrinking = gain > 0.99 * smallest ? notShrinking + 1 : 0;
      smallest = Math.min(gain, smallest);
      const still = gain <= 1e-12 * place.chi || gain <= 4 * place.rounding();
      const stuck = notShrinking >= (place.precise ? 4 : 2);
      converged = gain * rate <= arrived * place.chi || gain <= place.rounding() / 16;
      converged ||= stuck && still;
      // Only precise derivatives tell that a minimum is one.
      if ((converged || stuck || gain * rate <= 1e-13 * place.chi) && place.refine()) {
        [converged, smallest, notShrinking] = [false, Infinity, 0];
        continue;
      }
      const next = stepFrom(place.parameters, backSubstitute(triangle), problem.bounds);
      // χ² itself is rounded by twice the residuals times the rounding of the model.
      const rounded = 16 * place.rounding() + 4 * Math.sqrt(place.chi * place.rounding());
      const limit = place.chi * (1 + 1e-9) + rounded;
      if (place.tryOut(next, converged) <= limit) {
        place.accept(converged);
        continue;
      }
      if (converged) break;
      trusted /= 100;
      if (trusted < 1e-14) {
        converged = gain <= unseen * place.rounding();
        break;
      }
    }

    before = gain;
    let moved = false;
    for (let attempt = 0; attempt < 60 && !moved; attempt++) {
      const root = Math.sqrt(lambda);
      const weights = scale.map((value) => value * root);
      const step = dampedStep(triangle, weights);
      const bent = damping.curved ? accelerate(problem, place, step, weights) : step;
      if (bent) {
        const next = stepFrom(place.parameters, bent, problem.bounds);
        const expected = predicted(triangle, next, place.parameters);
        const ratio = (place.chi - place.tryOut(next)) / Math.abs(expected || place.chi);
        if (ratio > 1e-4) {
          lambda *= ratio > 0.9 ? 0.1 : 1 - (2 * ratio - 1) ** 3;
          growth = 2;
          place.accept(false);
          moved = true;
        }
      }
      if (!moved) {
        lambda *= growth;
        growth *= 2;
      }
    }
    if (!moved) {
      if (!place.refine()) {
        converged = gain <= unseen * place.rounding();
        break;
      }
      lambda = damping.start;
    }
  }
  return {
    parameters: place.parameters,
    residuals: place.residuals(),
    chiSquare: place.chi,
    triangle: place.finalTriangle(),
    converged,
    iterations,
  };
}

/** Column norms of J, read from R. */
function rescale(scale: Float64Array, { rows }: Triangle, scaling: Damping['scaling']): void {
  for (let j = 0; j < scale.length; j++) {
    let sum = 0;
    for (let i = 0; i <= j; i++) sum += rows[i][j] * rows[i][j];
    const length = Math.sqrt(sum);
    scale[j] = (scaling === 'largest' ? Math.max(scale[j], length) : length) || 1e-300;
  }
}

/** ‖r‖² − ‖r − J δ‖² from the triangle, for the step that is really taken. */
function predicted(
  { rows, right }: Triangle,
  next: readonly number[],
  from: readonly number[],
): number {
  let sum = 0;
  for (let k = 0; k < next.length; k++) {
    let along = 0;
    for (let j = k; j < next.length; j++) along += rows[k][j] * (next[j] - from[j]);
    sum += along * (2 * right[k] - along);
  }
  return sum;
}
