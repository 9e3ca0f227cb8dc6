import { accelerate } from './accelerate';
import { type Bound, Derivatives, norm } from './derivatives';
import { backSubstitute, dampedStep, type Triangle, triangulate } from './householder';
import type { LeastSquares } from './least-squares';
import { clamp, difference, dot, square, squareOfDifference, stepFrom } from './steps';

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
  /** R of the order-4 Jacobian at the end, all parameters included. */
  readonly triangle: Triangle;
  readonly converged: boolean;
  readonly iterations: number;
}

/** Below this squared cosine between residuals and tangent plane the quadratic model is trusted without damping. */
const closeBy = 1e-6;

/**
 * Levenberg–Marquardt descent with geodesic acceleration, then undamped Gauss–Newton steps with an order-4
 * Jacobian until they no longer shrink.
 *
 * @see Marquardt, SIAM J. Appl. Math. 11, 431 (1963); Moré, Lecture Notes in Mathematics 630, 105 (1978), for the
 * scaling; Nielsen, report IMM-REP-1999-05, for the damping; Transtrum, Machta and Sethna, Phys. Rev. E 83, 036701
 * (2011), for the acceleration (all from memory)
 */
export function descend(
  problem: LeastSquares,
  start: readonly number[],
  damping: Damping,
  maxIterations: number,
): Descent {
  const { observed, model, bounds } = problem;
  const size = observed.length;
  const derivatives = new Derivatives(model, size, start, bounds);
  let parameters = start.map((value, j) => clamp(value, bounds[j]));
  let at = new Float64Array(size);
  let trial = new Float64Array(size);
  model(parameters, at);
  let residuals = difference(observed, at);
  let chi = square(residuals);
  const scale = new Float64Array(start.length);
  let lambda = damping.start;
  let growth = 2;
  let trusted = closeBy;
  let smallest = Infinity;
  let notShrinking = 0;
  let converged = false;
  let iterations = 0;
  let fine = false;

  const columnsAt = (precise: boolean) =>
    problem.columns ? problem.columns(parameters) : derivatives.columns(parameters, at, precise);
  const triangleOf = (columns: Float64Array[]) =>
    triangulate(
      columns.map((column) => column.slice()),
      residuals.slice(),
    );
  const move = (next: number[], chiNext: number) => {
    [at, trial] = [trial, at];
    parameters = next;
    residuals = difference(observed, at);
    chi = chiNext;
  };
  const rounding = () => (2e-16 * norm(at)) ** 2;

  for (; iterations < maxIterations; iterations++) {
    let columns = columnsAt(fine);
    const slope = columns.map((column) => dot(column, residuals));
    const free = parameters.map((value, j) => !pinned(value, slope[j], bounds[j]));
    if (free.some((is) => !is)) {
      columns = columns.map((column, j) => (free[j] ? column : new Float64Array(size)));
    }
    const triangle = triangleOf(columns);
    const gain = square(triangle.right);
    for (let j = 0; j < columns.length; j++) {
      const length = norm(columns[j]);
      scale[j] = damping.scaling === 'largest' ? Math.max(scale[j], length) : length;
      if (scale[j] === 0) scale[j] = 1e-300;
    }

    if (gain <= trusted * chi || gain <= 4 * rounding()) {
      if (!fine) {
        fine = true;
        continue;
      }
      if (gain <= 1e-21 * chi || gain <= rounding() / 16) {
        converged = true;
        break;
      }
      notShrinking = gain > 0.99 * smallest ? notShrinking + 1 : 0;
      smallest = Math.min(gain, smallest);
      if (notShrinking >= 4 && (gain <= 1e-12 * chi || gain <= 4 * rounding())) {
        converged = true;
        break;
      }
      const next = stepFrom(parameters, backSubstitute(triangle), bounds);
      model(next, trial);
      const chiNext = squareOfDifference(observed, trial);
      if (chiNext <= chi * (1 + 1e-9) + 16 * rounding()) {
        move(next, chiNext);
        continue;
      }
      trusted /= 100;
      if (trusted < 1e-14) break;
    }

    let moved = false;
    for (let attempt = 0; attempt < 60 && !moved; attempt++) {
      const root = Math.sqrt(lambda);
      const weights = scale.map((value) => value * root);
      const step = dampedStep(triangle, weights);
      const bent = damping.curved
        ? accelerate(problem, parameters, at, columns, step, weights, trial)
        : step;
      if (bent) {
        const next = stepFrom(parameters, bent, bounds);
        const real = next.map((value, j) => value - parameters[j]);
        const expected = predicted(triangle, real);
        model(next, trial);
        const chiNext = squareOfDifference(observed, trial);
        const ratio = (chi - chiNext) / Math.abs(expected || chi);
        if (chiNext < chi && ratio > 1e-4) {
          lambda *= Math.max(1 / 3, 1 - (2 * Math.min(ratio, 1) - 1) ** 3);
          growth = 2;
          move(next, chiNext);
          moved = true;
        }
      }
      if (!moved) {
        lambda *= growth;
        growth *= 2;
      }
    }
    if (!moved) {
      if (fine) break;
      fine = true;
      lambda = damping.start;
    }
  }
  return {
    parameters,
    residuals,
    chiSquare: chi,
    triangle: triangleOf(columnsAt(true)),
    converged,
    iterations,
  };
}

/** ‖r‖² − ‖r − J δ‖² from the triangle. */
function predicted({ rows, right }: Triangle, step: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < step.length; k++) {
    let along = 0;
    for (let j = k; j < step.length; j++) along += rows[k][j] * step[j];
    sum += along * (2 * right[k] - along);
  }
  return sum;
}

/** True at a bound when downhill lies beyond it. `slope` is Jᵀr: positive when the parameter wants to grow. */
function pinned(value: number, slope: number, bound: Bound | undefined): boolean {
  return !!bound && ((value <= bound[0] && slope <= 0) || (value >= bound[1] && slope >= 0));
}
