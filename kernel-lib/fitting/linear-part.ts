import { norm, type VectorFunction } from './derivatives';
import { backSubstitute, triangulate } from './householder';
import type { LeastSquares } from './least-squares';

/** Which parameters enter the model as plain factors or sums, found by trying; bounded ones are left out. */
export function linearParameters(
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
export function withoutLinear(
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
