import { expect, vi } from 'vitest';
import type { Bound } from '../../kernel-lib/fitting/derivatives';
import type { Triangle } from '../../kernel-lib/fitting/householder';
import type { LeastSquares } from '../../kernel-lib/fitting/levenberg-marquardt';

/** a exp(−b t) at t = 0, 1, 2, 3. */
const times = [0, 1, 2, 3];
export const observed = Float64Array.of(8.1, 3.9, 2.1, 0.9);
export const decay = ([a, b]: readonly number[]) => times.map((t) => a * Math.exp(-b * t));
export const slopes = ([a, b]: readonly number[]) => [
  times.map((t) => Math.exp(-b * t)),
  times.map((t) => -a * t * Math.exp(-b * t)),
];
export const chiOf = (p: readonly number[]) =>
  decay(p).reduce((sum, y, i) => sum + (observed[i] - y) ** 2, 0);

export const model = vi.fn((p: number[], out: Float64Array) => out.set(decay(p)));
export const both = vi.fn((p: number[], out: Float64Array, columns: Float64Array[]) => {
  out.set(decay(p));
  for (const [j, column] of slopes(p).entries()) columns[j].set(column);
});

export const byDifferences = (...bounds: (Bound | undefined)[]): LeastSquares => ({
  observed,
  model,
  bounds,
});
export const byFormula = (...bounds: (Bound | undefined)[]): LeastSquares => ({
  ...byDifferences(...bounds),
  both,
});
export const ways = [
  ['by differences', byDifferences],
  ['by formula', byFormula],
] as const;

/** Normal equations of a triangle: RᵀR, which is JᵀJ, and Rᵀ(Qᵀr), which is Jᵀr. */
function normalOf({ rows, right }: Triangle) {
  const sum = (j: number, of: (k: number) => number) =>
    rows.reduce((total, row, k) => (k <= j ? total + row[j] * of(k) : total), 0);
  return {
    square: rows.map((_, j) => rows.map((__, i) => sum(j, (k) => (k <= i ? rows[k][i] : 0)))),
    down: rows.map((_, j) => sum(j, (k) => right[k])),
  };
}

export function expectNormal(
  triangle: Triangle,
  at: readonly number[],
  digits: number,
  held?: number,
) {
  const columns = slopes(at).map((column, j) => (j === held ? column.map(() => 0) : column));
  const rest = decay(at).map((y, i) => observed[i] - y);
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((total, x, i) => total + x * b[i], 0);
  const { square, down } = normalOf(triangle);
  for (const [j, one] of columns.entries()) {
    expect(down[j]).toBeCloseTo(dot(one, rest), digits);
    for (const [i, two] of columns.entries())
      expect(square[j][i]).toBeCloseTo(dot(one, two), digits);
  }
}
