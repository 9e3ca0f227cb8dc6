import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  correlated,
  correlation,
  covariance,
  effectiveFreedom,
} from '../../kernel-lib/quantity/correlated';
import {
  combine,
  isMeasured,
  type Measured,
  measured,
  propagate,
} from '../../kernel-lib/quantity/measured';

describe('arithmetic, by the rules for independent values', () => {
  const a = measured(3, 0.3);
  const b = measured(4, 0.4);

  test('sums and differences add variances', () => {
    expect(a.plus(b).value).toBe(7);
    expect(a.plus(b).u).toBeCloseTo(0.5, 15);
    expect(a.minus(b).u).toBeCloseTo(0.5, 15);
    expect(a.plus(1).u).toBeCloseTo(0.3, 15);
  });

  test('products and quotients add relative variances', () => {
    for (const x of [a.times(b), a.over(b)])
      expect(x.relative).toBeCloseTo(Math.hypot(0.1, 0.1), 14);
    expect(a.power(3).relative).toBeCloseTo(0.3, 14);
    expect(a.sqrt().relative).toBeCloseTo(0.05, 14);
  });

  test('what shares a reading is correlated', () => {
    expect(a.minus(a).u).toBe(0);
    expect(a.over(a).u).toBe(0);
    expect(a.times(a).relative).toBeCloseTo(0.2, 14);
    const sum = a.plus(b);
    expect(sum.minus(b).u).toBeCloseTo(a.u, 14);
    expect(covariance(sum, a)).toBeCloseTo(0.09, 15);
    expect(correlation(sum, a)).toBeCloseTo(0.6, 14);
    expect(correlation(a, a.times(-2))).toBe(-1);
    expect(correlation(a, b)).toBe(0);
    expect(correlation(a, measured(1, 0))).toBe(0);
  });

  test('+ − × ÷ would lose the uncertainty, so they are refused with the mend', () => {
    expect(() => (a as unknown as number) * 2).toThrow(/A measured value \(3\.0\(3\)\) .*x\.times/);
    expect(() => Math.sin(a as unknown as number)).toThrow(/propagate\(f, x, y\)/);
    expect(`${a}`).toBe('3.0(3)');
  });
});

test('every function has the derivative that propagate finds by differences', () => {
  const functions: readonly (readonly [(x: Measured) => Measured, (x: number) => number])[] = [
    [(x) => x.sin(), Math.sin],
    [(x) => x.cos(), Math.cos],
    [(x) => x.tan(), Math.tan],
    [(x) => x.asin(), Math.asin],
    [(x) => x.acos(), Math.acos],
    [(x) => x.atan(), Math.atan],
    [(x) => x.exp(), Math.exp],
    [(x) => x.log(), Math.log],
    [(x) => x.sqrt(), Math.sqrt],
    [(x) => x.abs(), Math.abs],
    [(x) => x.power(-2), (x) => x ** -2],
    [(x) => measured(2, 0).over(x), (x) => 2 / x],
  ];
  fc.assert(
    fc.property(fc.double({ min: 0.05, max: 0.9, noNaN: true }), (value) => {
      const x = measured(value, 0.001);
      for (const [ours, plain] of functions) {
        expect(ours(x).value).toBeCloseTo(plain(value), 14);
        const u = propagate(plain, x).u;
        expect(Math.abs(ours(x).u - u)).toBeLessThan(1e-7 * u);
      }
    }),
    { seed: 5, numRuns: 50 },
  );
});

describe('propagate', () => {
  test('sees correlation between its inputs', () => {
    const x = measured(10, 0.1);
    const y = x.plus(measured(0, 0.1));
    expect(propagate((a, b) => a - b, x, y).u).toBeCloseTo(0.1, 9);
    expect(propagate((a, b) => a + b, x, y).u).toBeCloseTo(Math.hypot(0.2, 0.1), 9);
  });

  test('works for tiny and for huge values alike', () => {
    const wavelength = propagate(
      (d, angle) => d * Math.sin(angle),
      measured(1.6e-6, 2e-9),
      measured(0.35, 1e-4),
    );
    expect(wavelength.u).toBeCloseTo(
      Math.hypot(2e-9 * Math.sin(0.35), 1.6e-6 * Math.cos(0.35) * 1e-4),
      17,
    );
    expect(propagate((x) => x * x, measured(1e12, 1)).u).toBeCloseTo(2e12, -3);
    expect(propagate((x) => x, measured(0, 1e-9)).u).toBeCloseTo(1e-9, 18);
  });

  test('plain numbers are exact, and no input at all is a constant', () => {
    expect(propagate((a, b) => a * b, measured(2, 0.1), 3).u).toBeCloseTo(0.3, 12);
    expect(propagate(() => 5)).toMatchObject({ value: 5, u: 0 });
  });

  test('a function that fails near the inputs is told where', () => {
    expect(() => propagate(Math.sqrt, measured(0, 0.1))).toThrow(/gives NaN where argument 1 is -/);
    expect(() => propagate(3 as never, measured(0, 0.1))).toThrow(/takes a function first/);
  });
});

describe('correlated', () => {
  test('gives back its covariance matrix', () => {
    const matrix = [
      [0.04, 0.01, -0.005],
      [0.01, 0.09, 0.02],
      [-0.005, 0.02, 0.16],
    ];
    const values = correlated([1, 2, 3], matrix);
    for (const i of [0, 1, 2])
      for (const j of [0, 1, 2])
        expect(covariance(values[i], values[j])).toBeCloseTo(matrix[i][j], 14);
  });

  test('takes values that are bound to each other, or exact', () => {
    const [a, b, c] = correlated(
      [1, 2, 3],
      [
        [1, -2, 0],
        [-2, 4, 0],
        [0, 0, 0],
      ],
    );
    expect(correlation(a, b)).toBe(-1);
    expect(a.times(2).plus(b).u).toBeCloseTo(0, 14);
    expect(c.u).toBe(0);
  });

  test('refuses what is no covariance matrix', () => {
    expect(() => correlated([1, 2], [[1, 0]])).toThrow(/has 2 rows of 2/);
    expect(() =>
      correlated(
        [1, 2],
        [
          [1, 0.5],
          [0.4, 1],
        ],
      ),
    ).toThrow(/not symmetric at row 0, column 1/);
    expect(() =>
      correlated(
        [1, 2],
        [
          [1, 2],
          [2, 1],
        ],
      ),
    ).toThrow(/negative variance/);
    expect(() =>
      correlated(
        [1, 2],
        [
          [0, 1],
          [1, 1],
        ],
      ),
    ).toThrow(/is no covariance matrix/);
    expect(() => correlated([1], [[Number.NaN]])).toThrow(/finite/);
  });
});

test('degrees of freedom follow Welch and Satterthwaite', () => {
  const a = measured(1, 0.3, { freedom: 5 });
  const b = measured(1, 0.4, { freedom: 9 });
  expect(effectiveFreedom(a.times(7))).toBeCloseTo(5, 12);
  expect(effectiveFreedom(a.plus(b))).toBeCloseTo(0.5 ** 4 / (0.3 ** 4 / 5 + 0.4 ** 4 / 9), 12);
  expect(effectiveFreedom(measured(1, 0.1))).toBe(Number.POSITIVE_INFINITY);
});

test('a measured value is told from other things; a fitted parameter counts as one', () => {
  expect(isMeasured(measured(1, 0.1))).toBe(true);
  expect(isMeasured({ value: 1, u: 0.1 })).toBe(true);
  for (const other of [1, '1(1)', null, undefined, { value: 1 }, [1, 2], () => 1])
    expect(isMeasured(other)).toBe(false);
  expect(JSON.parse(JSON.stringify(combine(2, [measured(1, 0.5), 2])))).toEqual({ value: 2, u: 1 });
});

test('bad input is named', () => {
  expect(() => measured('1' as never, 0.1)).toThrow(
    /value in measured.* a number, but the text "1"/,
  );
  expect(() => measured(1, Number.NaN)).toThrow(/uncertainty in measured.*NaN/);
  expect(() => measured(1, -0.1)).toThrow(/must not be negative, but -0\.1/);
  expect(() => measured(1, 0.1, { freedom: 0 })).toThrow(/above 0/);
});
