import { describe, expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { minima, principalMaxima, subsidiaryMaxima } from '../../kernel-lib/aperture/extrema';
import { intensity } from '../../kernel-lib/aperture/intensity';
import { nearField } from '../../kernel-lib/aperture/near-field';
import { visibility } from '../../kernel-lib/aperture/visibility';
import { integrate } from '../../kernel-lib/numerics/quadrature';
import { findRoot } from '../../kernel-lib/numerics/roots';

// Values of the trade, each recomputed on its own before it was written here; "common practice" where said.
const wavelength = 500e-9;
/** N slits so narrow that the envelope does not show. */
const array = (count: number) => slits(count, { width: 1e-13, spacing: 50e-6 });
const step = wavelength / 50e-6;

describe('one slit', () => {
  const width = 20e-6;
  const one = slits(1, { width });

  test('side maxima at 1.430297π, 2.459024π, 3.470890π, 4.477409π', () => {
    const side = subsidiaryMaxima(one, wavelength, { from: 0, to: (4.9 * wavelength) / width });
    const beta = side.map(({ s }) => (s * width) / wavelength);
    for (const [i, place, value] of [
      [0, 1.430297, 0.0471904],
      [1, 2.459024, 0.01648],
      [2, 3.47089, 0.0083403],
      [3, 4.477409, 0.0050287],
    ]) {
      expect(beta[i]).toBeCloseTo(place, 6);
      expect(side[i].intensity).toBeCloseTo(value, 7);
    }
  });

  test('full width at half maximum 0.885893 λ/a', () => {
    const half = findRoot((s) => intensity(one, wavelength, s) - 0.5, 0, wavelength / width);
    expect((2 * half * width) / wavelength).toBeCloseTo(0.885893, 6);
  });

  test('two images a minimum apart dip to 8/π² between them', () => {
    const s = wavelength / width / 2;
    const between = intensity(one, wavelength, s) + intensity(one, wavelength, -s);
    expect(between).toBeCloseTo(0.810569, 6);
    expect(between).toBeCloseTo(8 / Math.PI ** 2, 14);
  });
});

describe('N slits, width ignored', () => {
  test.each([
    [3, 1 / 9],
    [4, 2 / 27],
    [10, 0.0505107],
  ])('N = %d: first subsidiary maximum', (count, value) => {
    const [first] = subsidiaryMaxima(array(count), wavelength, { from: 1e-9, to: step });
    expect(first.intensity).toBeCloseTo(value, 7);
  });

  test.each([
    [3, 1.951227],
    [4, 1.430658],
    [10, 0.55904],
  ])('N = %d: full width at half maximum in phase', (count, width) => {
    const f = (s: number) => intensity(array(count), wavelength, s) - 0.5;
    const half = findRoot(f, 0, step / count);
    expect(Math.abs((2 * half * 2 * Math.PI) / step - width)).toBeLessThan(6e-7);
  });

  // Common practice, no source.
  test.each([2, 3, 4, 5, 10, 20, 57])(
    'N = %d: N − 1 zeros and N − 2 subsidiary maxima between orders',
    (count) => {
      const between = { from: step * 1e-6, to: step * (1 - 1e-6) };
      expect(minima(array(count), wavelength, between)).toHaveLength(count - 1);
      expect(subsidiaryMaxima(array(count), wavelength, between)).toHaveLength(count - 2);
      const orders = principalMaxima(array(count), wavelength, { from: 0, to: 5.5 * step });
      expect(orders.map(({ order }) => order)).toEqual([0, 1, 2, 3, 4, 5]);
    },
  );
});

describe('a straight edge', () => {
  // The other edge is so far away that it adds less than 1e-6.
  const distance = 1;
  const unit = Math.sqrt((wavelength * distance) / 2);
  const edge = slitsAt([{ centre: 1000, width: 2000 }]);
  const at = (v: number) => nearField(edge, wavelength, distance, [v * unit])[0];

  test('1/4 at the geometric edge', () => {
    expect(at(0)).toBeCloseTo(0.25, 6);
  });

  test('first maximum 1.37044 at v = 1.21720, then a minimum of 0.77825', () => {
    const slope = (v: number) => at(v + 1e-4) - at(v - 1e-4);
    const top = findRoot(slope, 1, 1.5, { tolerance: 1e-9 });
    const bottom = findRoot(slope, 1.6, 2.1, { tolerance: 1e-9 });
    expect(top).toBeCloseTo(1.2172, 4);
    expect(at(top)).toBeCloseTo(1.37044, 5);
    expect(at(bottom)).toBeCloseTo(0.77825, 5);
  });
});

test.each([
  [0.25041, 0.9],
  [0.60335, 0.5],
  [1, 0],
])('two slits lit by a source slit with bd/λL = %d: visibility %d', (ratio, expected) => {
  // Every point of a source of angular width b/L moves the fringes by its own angle.
  const source = ratio * step;
  const pair = array(2);
  const fringes = Array.from({ length: 201 }, (_, i) => {
    const s = (i / 200) * step;
    return integrate((t) => intensity(pair, wavelength, s - t), -source / 2, source / 2) / source;
  });
  expect(visibility(fringes)).toBeCloseTo(expected, 4);
});
