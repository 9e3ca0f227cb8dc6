import { expect, test } from 'vitest';
import { linearInterpolant, splineInterpolant } from '../../kernel-lib/numerics/interpolation';
import { integrate, trapezoid } from '../../kernel-lib/numerics/quadrature';

test('an interpolant passes through its points and is 0 beyond them, or holds the last value', () => {
  const [xs, ys] = [
    [0, 1, 3, 4],
    [2, 5, -1, 7],
  ];
  for (const make of [linearInterpolant, splineInterpolant]) {
    const f = make(xs, ys);
    for (const [i, x] of xs.entries()) expect(f(x)).toBeCloseTo(ys[i], 12);
    expect([f(-0.1), f(4.1)]).toEqual([0, 0]);
    expect(make(xs, ys, { outside: 'hold' })(9)).toBe(7);
    expect(make(xs, ys, { outside: 3 })(-9)).toBe(3);
  }
});

test('a spline follows a straight line exactly and a sine closely', () => {
  const line = splineInterpolant([0, 1, 4], [1, 3, 9]);
  expect(line(2.2)).toBeCloseTo(5.4, 12);
  const xs = Array.from({ length: 41 }, (_, i) => (i * Math.PI) / 40);
  const sine = splineInterpolant(xs, xs.map(Math.sin));
  expect(Math.abs(sine(1.234) - Math.sin(1.234))).toBeLessThan(1e-6);
});

test('bad tables are refused by what is wrong with them', () => {
  expect(() => linearInterpolant([0, 1], [1])).toThrow(/ys must have 2 values, but has 1/);
  expect(() => linearInterpolant([0], [1])).toThrow(/at least 2 values/);
  expect(() => splineInterpolant([0, 1], [1, 1])).toThrow(/at least 3 values/);
  expect(() => linearInterpolant([0, 2, 1], [1, 1, 1])).toThrow(/ascend, but 1 follows 2/);
  expect(() => trapezoid([0, 1], [1, Number.NaN])).toThrow(/ys\[1\]/);
});

test('integrals: ends exchanged turn the sign; a narrow peak is not missed when it matters', () => {
  expect(integrate(Math.exp, 1, 0)).toBeCloseTo(1 - Math.E, 13);
  const peak = (x: number) => 1e-3 / (Math.PI * (1e-6 + (x - 0.2345) ** 2));
  expect(integrate(peak, -10, 10)).toBeCloseTo(1, 3);
  expect(() => integrate(Math.exp, 0, Infinity)).toThrow(/upper end.*Infinity/);
});
