import type { Bound } from '../../kernel-lib/fitting/derivatives';
import type { Damping, LeastSquares } from '../../kernel-lib/fitting/levenberg-marquardt';

/** One residual: f(p) against `observed`, with its slope by formula. */
export const single = (
  f: (p: number) => number,
  slope: (p: number) => number,
  observed: number,
  bound?: Bound,
): LeastSquares => ({
  observed: Float64Array.of(observed),
  bounds: [bound],
  model: ([p], out) => out.set([f(p)]),
  both: ([p], values, columns) => {
    values.set([f(p)]);
    columns[0].set([slope(p)]);
  },
});

/** A plane y = a x₁ + b x₂ through the columns x₁, x₂. */
export const plane = (
  x: readonly (readonly number[])[],
  observed: readonly number[],
  bounds: readonly (Bound | undefined)[] = x.map(() => undefined),
): LeastSquares => {
  const model: LeastSquares['model'] = (p, out) => {
    for (let i = 0; i < out.length; i++)
      out[i] = x.reduce((sum, column, j) => sum + p[j] * column[i], 0);
  };
  return {
    observed: Float64Array.from(observed),
    bounds,
    model,
    both: (p, values, columns) => {
      model(p, values);
      for (const [j, column] of columns.entries()) column.set(x[j]);
    },
  };
};

export const damped = (start: number, more: Partial<Damping> = {}): Damping => ({
  start,
  scaling: 'present',
  curved: false,
  ...more,
});
export const atMost = (maxIterations: number) => ({ maxIterations, tolerance: 1e-9 });
