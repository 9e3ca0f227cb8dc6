import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { evenStep, intensity, intensityProfile } from '../../kernel-lib/aperture/intensity';

const even = (from: number, step: number, length: number) =>
  Float64Array.from({ length }, (_, i) => from + i * step);
const swapped = (list: Float64Array, i: number, value: number) => list.with(i, value);

describe('values are evenly spaced', () => {
  test.each([
    ['upwards', -0.03, 0.001],
    ['downwards', 0.7, -0.01],
    ['from 0 on', 0, 1 / 30],
    ['down from 0', 0, -1 / 30],
    ['up to 0', -3, 0.3],
    ['far from 0', 1000, 1e-3],
    ['all the same', 0.2, 0],
    ['all 0', 0, 0],
  ])('%s, rounded as they are', (_name, from, step) => {
    for (const length of [9, 10, 11, 1001])
      expect(evenStep(even(from, step, length))! - step).toBeCloseTo(0, 13);
  });

  test('from nine on: fewer are not worth a table', () => {
    expect(evenStep(even(1, 1, 9))).toBe(1);
    expect(evenStep(even(1, 1, 8))).toBeUndefined();
    expect(evenStep([])).toBeUndefined();
  });

  test('given as a plain list too', () => {
    expect(evenStep([0, 2, 4, 6, 8, 10, 12, 14, 16, 18])).toBe(2);
  });
});

describe('values are not evenly spaced', () => {
  const list = even(0.5, 0.01, 21);

  test.each([0, 1, 10, 19, 20])('where value %d is off by 20 roundings either way', (i) => {
    for (const off of [-20, 20]) {
      const value = list[i] + off * Number.EPSILON * 0.7;
      // Moving an end by a little moves all even places by less than that.
      expect(evenStep(swapped(list, i, value))).toBeUndefined();
    }
  });

  test('where one is not finite, nor the difference of the ends', () => {
    for (const value of [Number.NaN, Infinity, -Infinity])
      for (const i of [0, 10, 20]) expect(evenStep(swapped(list, i, value))).toBeUndefined();
    expect(evenStep(even(-1.7e308, 4e307, 9))).toBeUndefined();
  });

  test('where they turn back, or their steps grow', () => {
    expect(evenStep([0, 1, 2, 3, 4, 3, 2, 1, 0, 0])).toBeUndefined();
    expect(evenStep(list.map((s) => s ** 2))).toBeUndefined();
  });
});

test('a value a little beside its even place gets its own intensity', () => {
  // A million fringes in the range: a hundred roundings of s are a ten-thousandth of a fringe.
  const pair = slits(2, { width: 1e-6, spacing: 500 });
  const wavelength = 500e-9;
  const list = even(1e-4, 1e-6, 101);
  for (const i of [1, 50, 99]) {
    const s = swapped(list, i, list[i] + 1e-17);
    const profile = intensityProfile(pair, wavelength, s);
    s.forEach((value, k) => {
      expect(Math.abs(profile[k] - intensity(pair, wavelength, value))).toBeLessThan(1e-9);
    });
  }
});
