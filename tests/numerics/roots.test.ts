import fc from 'fast-check';
import { expect, test } from 'vitest';
import { findRoot } from '../../kernel-lib/numerics/roots';

test('finds the root of awkward functions to the last bits', () => {
  const awkward: [(x: number) => number, number, number, number][] = [
    [(x) => x ** 9, -1, 4, 0],
    [(x) => Math.cbrt(x - 0.3), -2, 5, 0.3],
    [(x) => (x < 0.7 ? -1e-9 : 1), 0, 1, 0.7],
    [(x) => Math.atan(x - 3) * 1e6, -100, 100, 3],
    [(x) => 1 / (x - 0.5) - 1e9, 0.5 + 1e-12, 2, 0.5 + 1e-9],
  ];
  for (const [f, low, high, root] of awkward) {
    // x⁹ is 0 to rounding in all of |x| < 1e-2 × 1e-34: only its value tells.
    const found = findRoot(f, low, high);
    if (root === 0) expect(Math.abs(f(found))).toBeLessThan(1e-100);
    else expect(Math.abs(found / root - 1)).toBeLessThan(1e-14);
  }
});

test('needs few calls where the function is smooth', () => {
  let calls = 0;
  findRoot(
    (x) => {
      calls++;
      return Math.exp(x) - 5;
    },
    0,
    3,
  );
  expect(calls).toBeLessThan(14);
});

test('stays in the bracket and honours the tolerance', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -5, max: 5, noNaN: true }),
      fc.double({ min: 0.1, max: 9, noNaN: true }),
      (root, k) => {
        const f = (x: number) => {
          expect(x).toBeGreaterThanOrEqual(-6);
          expect(x).toBeLessThanOrEqual(6);
          return Math.sinh(k * (x - root));
        };
        expect(Math.abs(findRoot(f, -6, 6) - root)).toBeLessThan(1e-14);
        expect(Math.abs(findRoot(f, -6, 6, { tolerance: 1e-3 }) - root)).toBeLessThan(1e-3);
      },
    ),
    { seed: 1, numRuns: 200 },
  );
});

test('takes a root at an end', () => {
  expect(findRoot((x) => x, 0, 1)).toBe(0);
  expect(findRoot((x) => x - 1, 0, 1)).toBe(1);
});

test('refuses a bracket that is none', () => {
  expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow(
    /No change of sign between -1 \(value 2\)/,
  );
  expect(() => findRoot(() => Number.NaN, -1, 1)).toThrow(RangeError);
  expect(() => findRoot((x) => x, -1, Infinity)).toThrow(/finite ends/);
});
