import { describe, expect, test } from 'vitest';
import type { LeastSquares } from '../../kernel-lib/fitting/levenberg-marquardt';
import { linearParameters, withoutLinear } from '../../kernel-lib/fitting/solve';

const times = [0, 0.5, 1, 1.5, 2, 2.5];

function problem(
  of: (t: number, p: readonly number[]) => number,
  bounds: LeastSquares['bounds'],
  observed = times.map((t) => 1 + t * t),
): LeastSquares {
  return {
    observed: Float64Array.from(observed),
    model: (p, out) => {
      for (const [i, t] of times.entries()) out[i] = of(t, p);
    },
    bounds,
  };
}
const free = (count: number) => Array.from({ length: count }, () => undefined);

describe('which parameters a model is linear in', () => {
  const of = (
    count: number,
    model: (t: number, p: readonly number[]) => number,
    at: readonly number[],
  ) => linearParameters(problem(model, free(count)), at);

  test.each<[string, number[], (t: number, p: readonly number[]) => number, number[]]>([
    ['a e^(−bt) + c', [3, 0.7, 2], (t, [a, b, c]) => a * Math.exp(-b * t) + c, [0, 2]],
    ['b first', [0.7, 3, 2], (t, [b, a, c]) => a * Math.exp(-b * t) + c, [1, 2]],
    [
      'two exponentials',
      [3, 0.7, 2, 5],
      (t, [a, b, c, d]) => a * Math.exp(-b * t) + c * Math.exp(-d * t),
      [0, 2],
    ],
    ['a polynomial', [3, 0.7, 2], (t, [a, b, c]) => a + b * t + c * t * t, [0, 1, 2]],
    ['a peak', [4, 1, 0.5], (t, [a, m, s]) => a / (1 + ((t - m) / s) ** 2), [0]],
    ['squares and powers', [2, 1.5], (t, [a, b]) => a * a * t + (1 + t) ** b, []],
  ])('%s', (_name, at, model, linear) => {
    expect(of(at.length, model, at)).toEqual(linear);
    // Where linear ones stand does not matter, 0 included.
    const elsewhere = at.map((p, j) => (linear.includes(j) ? 0 : p));
    elsewhere[linear[0] ?? 0] = at[linear[0] ?? 0];
    expect(of(at.length, model, elsewhere)).toEqual(linear);
  });

  test('two factors of one product are not linear together: the first is taken', () => {
    expect(of(2, (t, [a, b]) => a * b * t, [2, 3])).toEqual([0]);
    expect(of(3, (t, [a, b, c]) => a * b * t + c, [2, 3, 4])).toEqual([0, 2]);
    expect(of(3, (t, [c, a, b]) => a * b * t + c, [4, 2, 3])).toEqual([0, 1]);
  });

  test('a curved one that stands at 0 is not taken for linear', () => {
    expect(of(2, (t, [a, b]) => a + Math.sin(b * t), [1, 0])).toEqual([0]);
    expect(of(1, (t, [a]) => a * a * t, [0])).toEqual([]);
  });

  test('rounding does not hide a straight line, not even where it passes 0', () => {
    const third = (t: number, [a]: readonly number[]) => (a - 1 / 3) * Math.exp(t / 7) * 1e3;
    expect(of(1, third, [1 / 3])).toEqual([0]);
    expect(of(1, third, [1 / 3 / 0.3])).toEqual([0]);
    expect(of(1, (t, [a]) => (a + 0.4) * Math.exp(t / 7), [1])).toEqual([0]);
  });

  test('a bounded one is left out: its best value might lie beyond', () => {
    const line = (t: number, [a, b]: readonly number[]) => a + b * t;
    expect(linearParameters(problem(line, [undefined, [0, 9]]), [1, 2])).toEqual([0]);
    expect(linearParameters(problem(line, [[0, 9], undefined]), [1, 2])).toEqual([1]);
  });
});

describe('a problem without its linear parameters', () => {
  const observed = [5.2, 4.1, 2.9, 3.3, 2.4, 2.6];
  const kinked = problem(
    (t, [a, k, c]) => a * Math.exp(-k * t) + c + k * t,
    [undefined, [0.1, 4], undefined],
    observed,
  );

  /** Least squares line of y less the slope's share against e^(−kt), by the normal equations. */
  function byHand(k: number, slope = k): [a: number, c: number] {
    const x = times.map((t) => Math.exp(-k * t));
    const y = observed.map((value, i) => value - slope * times[i]);
    const sum = (of: (i: number) => number) => x.reduce((total, _, i) => total + of(i), 0);
    const [sx, sy] = [sum((i) => x[i]), sum((i) => y[i])];
    const [sxx, sxy] = [sum((i) => x[i] * x[i]), sum((i) => x[i] * y[i])];
    const a = (6 * sxy - sx * sy) / (6 * sxx - sx * sx);
    return [a, (sy - a * sx) / 6];
  }

  test.each([0.3, 1, 2.7])('k = %d: the others are at the least squares', (k) => {
    const { complete } = withoutLinear(kinked, [1, 1, 1], [0, 2]);
    const [a, c] = byHand(k);
    expect(complete([k])).toEqual([expect.closeTo(a, 10), k, expect.closeTo(c, 10)]);
  });

  test('its model is the whole one at those values', () => {
    const { problem: rest } = withoutLinear(kinked, [1, 1, 1], [0, 2]);
    const out = new Float64Array(6);
    rest.model([1.3], out);
    const [a, c] = byHand(1.3);
    for (const [i, t] of times.entries())
      expect(out[i]).toBeCloseTo(a * Math.exp(-1.3 * t) + c + 1.3 * t, 10);
    expect(rest.observed).toBe(kinked.observed);
  });

  test('start and bounds are those of the parameters that are left', () => {
    const { problem: rest, start } = withoutLinear(kinked, [7, 1.5, 3], [0, 2]);
    expect(start).toEqual([1.5]);
    expect(rest.bounds).toEqual([[0.1, 4]]);
    const other = withoutLinear(kinked, [7, 1.5, 3], [2]);
    expect(other.start).toEqual([7, 1.5]);
    expect(other.problem.bounds).toEqual([undefined, [0.1, 4]]);
    expect(other.complete([7, 1.5]).slice(0, 2)).toEqual([7, 1.5]);
  });

  test('units may differ by any factor', () => {
    const scaled = problem(
      (t, [a, k, c]) => 1e-9 * a * Math.exp(-k * t) + 1e6 * c,
      free(3),
      observed,
    );
    const [a, c] = byHand(1, 0);
    const [first, , last] = withoutLinear(scaled, [1, 1, 1], [0, 2]).complete([1]);
    expect(first / a / 1e9).toBeCloseTo(1, 10);
    expect((last / c) * 1e6).toBeCloseTo(1, 10);
  });

  test('one that has no effect just there is 0, and the rest is fitted', () => {
    const lost = problem((t, [a, k, c]) => a * k * t + c, free(3), observed);
    const mean = observed.reduce((sum, value) => sum + value, 0) / 6;
    const found = withoutLinear(lost, [1, 1, 1], [0, 2]).complete([0]);
    expect(found).toEqual([0, 0, expect.closeTo(mean, 12)]);
  });
});
