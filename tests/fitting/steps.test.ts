import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  clamp,
  dot,
  square,
  squareOfDifference,
  stepFrom,
  subtract,
} from '../../kernel-lib/fitting/levenberg-marquardt';

test('a value inside its bounds stays, one outside goes to the nearer bound', () => {
  const values = [-7, -2, 0.5, 3, 40].map((value) => clamp(value, [-2, 3]));
  expect(values).toEqual([-2, -2, 0.5, 3, 3]);
  expect(clamp(40, undefined)).toBe(40);
  expect(clamp(-1e300, [-Infinity, 3])).toBe(-1e300);
});

test('a step is kept inside the bounds of each parameter for itself', () => {
  const bounds = [undefined, [0, 2], [0, 2], undefined] as const;
  expect(stepFrom([1, 1, 1, 1], [5, 5, -5, -5], bounds)).toEqual([6, 2, 0, -4]);
  expect(stepFrom([1, 1], [0.5, 0.5], [[0, 2], undefined])).toEqual([1.5, 1.5]);
});

test('a difference is written into what is given, and no further', () => {
  const out = Float64Array.of(9, 9, 9, 9);
  subtract(Float64Array.of(5, 7, 1), Float64Array.of(2, 10, 1), out);
  expect([...out]).toEqual([3, -3, 0, 9]);
});

test('products and squares of 3-4-12 by hand', () => {
  const a = Float64Array.of(3, 4, 12);
  const b = Float64Array.of(1, -2, 0.5);
  expect(dot(a, b)).toBe(3 - 8 + 6);
  expect(square(a)).toBe(169);
  // (2, 6, 11.5)
  expect(squareOfDifference(a, b)).toBe(4 + 36 + 132.25);
  expect([dot, squareOfDifference].map((of) => of(a.subarray(0, 0), b.subarray(0, 0)))).toEqual([
    0, 0,
  ]);
});

test('|a − b|² = |a|² − 2 a·b + |b|²', () => {
  const vector = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 5, maxLength: 5 });
  fc.assert(
    fc.property(vector, vector, (first, second) => {
      const [a, b] = [Float64Array.from(first), Float64Array.from(second)];
      const out = new Float64Array(5);
      subtract(a, b, out);
      expect(squareOfDifference(a, b)).toBe(square(a) - 2 * dot(a, b) + square(b));
      expect(square(out)).toBe(squareOfDifference(a, b));
    }),
  );
});
