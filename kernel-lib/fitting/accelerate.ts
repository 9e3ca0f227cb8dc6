import { norm } from './derivatives';
import { dampedStep, triangulate } from './householder';
import type { LeastSquares } from './least-squares';
import type { Place } from './place';
import { clamp, square } from './steps';

/**
 * The step bent along the model's own curvature: half the second derivative along the step is added.
 *
 * @returns the bent step; the plain one where a bound is too near to look ahead; undefined when the bend is too
 * large for the step to be believed
 * @see Transtrum, Machta and Sethna, Phys. Rev. E 83, 036701 (2011) (from memory)
 */
export function accelerate(
  { model, observed, bounds }: LeastSquares,
  { parameters, at, columns }: Place,
  step: Float64Array,
  weights: Float64Array,
): Float64Array | undefined {
  const part = 0.1;
  const ahead = parameters.map((value, j) => value + part * step[j]);
  if (ahead.some((value, j) => value !== clamp(value, bounds[j]))) return step;
  const right = new Float64Array(observed.length);
  model(ahead, right);
  for (let i = 0; i < right.length; i++) {
    let along = 0;
    for (let j = 0; j < columns.length; j++) along += columns[j][i] * step[j];
    right[i] = (-2 / part) * ((right[i] - at[i]) / part - along);
  }
  if (!Number.isFinite(square(right))) return undefined;
  const bend = dampedStep(
    triangulate(
      columns.map((column) => column.slice()),
      right,
    ),
    weights,
  );
  const length = (vector: Float64Array) => norm(vector.map((value, j) => value * weights[j]));
  if (2 * length(bend) > 0.75 * length(step)) return undefined;
  return step.map((value, j) => value + bend[j] / 2);
}
