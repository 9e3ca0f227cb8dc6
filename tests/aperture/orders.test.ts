import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { diffractionAngle, directionSine } from '../../kernel-lib/aperture/direction';
import { minima, principalMaxima } from '../../kernel-lib/aperture/extrema';
import { blocked, withWidths } from '../../kernel-lib/aperture/imperfect';
import { intensity } from '../../kernel-lib/aperture/intensity';
import {
  angularDispersion,
  freeSpectralRange,
  halfWidth,
  missingOrders,
  orderOverlap,
  resolvingPower,
} from '../../kernel-lib/aperture/orders';

const wavelength = 500e-9;

describe('oblique incidence', () => {
  test('the pattern keeps its shape in s, so order 0 goes straight on', () => {
    const three = slits(3, { width: 1e-6, spacing: 4e-6 });
    const incidence = Math.PI / 6;
    expect(intensity(three, wavelength, directionSine(incidence, incidence))).toBe(1);
    const range = {
      from: directionSine(-Math.PI / 2, incidence),
      to: directionSine(Math.PI / 2, incidence),
    };
    const angles = principalMaxima(three, wavelength, range).map(({ s }) =>
      diffractionAngle(s, incidence),
    );
    // sin θ = m/8 + 1/2 runs from −1 (m = −12) to 1 (m = 4); with d = 4a the orders ±4, −8 and −12 are missing.
    expect(angles).toHaveLength(13);
  });
});

describe('missing orders', () => {
  test('d = 3a: 3, 6, 9, 12 up to 90°; principalMaxima leaves them out', () => {
    const pair = slits(2, { width: 2e-6, spacing: 6e-6 });
    expect(missingOrders(pair, wavelength)).toEqual([3, 6, 9, 12]);
    const orders = principalMaxima(pair, wavelength, { from: 0 }).map(({ order }) => order);
    expect(orders).toEqual([0, 1, 2, 4, 5, 7, 8, 10, 11]);
  });

  test('d = 5a/2: every fifth; 2d = 5.0002a: none; one slit: none', () => {
    expect(missingOrders(slits(4, { width: 4e-6, spacing: 10e-6 }), wavelength)).toEqual([
      5, 10, 15, 20,
    ]);
    expect(missingOrders(slits(4, { width: 4e-6, spacing: 10.0004e-6 }), wavelength)).toEqual([]);
    expect(missingOrders(slits(1, { width: 4e-6 }), wavelength)).toEqual([]);
  });

  test('touching slits are one slit: all orders but 0 are missing', () => {
    const touching = slits(4, { width: 5e-6, spacing: 5e-6 });
    expect(missingOrders(touching, wavelength, 0.45)).toEqual([1, 2, 3, 4]);
    expect(principalMaxima(touching, wavelength).map(({ order }) => order)).toEqual([0]);
    const one = minima(slits(1, { width: 20e-6 }), wavelength).map(({ s }) => s);
    const four = minima(touching, wavelength).map(({ s }) => s);
    expect(four).toHaveLength(one.length);
    for (const [i, s] of four.entries()) expect(s).toBeCloseTo(one[i], 13);
  });

  test('a blocked slit leaves the missing orders missing; unequal widths do not', () => {
    const grating = slits(6, { width: 2e-6, spacing: 6e-6 });
    expect(missingOrders(blocked(grating, 2), wavelength)).toEqual([3, 6, 9, 12]);
    const uneven = withWidths(grating, [2e-6, 2e-6, 2.5e-6, 2e-6, 2e-6, 2e-6]);
    expect(missingOrders(uneven, wavelength)).toEqual([12]);
  });
});

describe('a grating of N slits', () => {
  const [count, spacing] = [500, 2e-6];

  test('half-width: from the maximum to the first zero, to first order in λ/Nd', () => {
    const grating = slits(count, { width: 1e-9, spacing });
    const angle = (s: number) => diffractionAngle(s);
    const second = principalMaxima(grating, wavelength, { from: 0.4, to: 0.6 }).find(
      ({ order }) => order === 2,
    )!;
    const [zero] = minima(grating, wavelength, { from: second.s, to: second.s + 0.01 });
    const exact = angle(zero.s) - angle(second.s);
    expect(halfWidth(2, count, wavelength, spacing) / exact).toBeCloseTo(1, 3);
  });

  test('resolving power: λ + λ/mN has its maximum on the first zero of λ (Rayleigh)', () => {
    const longer = wavelength * (1 + 1 / resolvingPower(2, count));
    const zero = (2 * wavelength) / spacing + wavelength / (count * spacing);
    expect((2 * longer) / spacing).toBeCloseTo(zero, 14);
  });

  test('angular dispersion is the slope of the angle, also at oblique incidence', () => {
    for (const incidence of [0, -0.4]) {
      const angle = (w: number) => diffractionAngle((2 * w) / spacing, incidence);
      const slope = (angle(wavelength + 1e-12) - angle(wavelength - 1e-12)) / 2e-12;
      expect(angularDispersion(2, wavelength, spacing, incidence) / slope).toBeCloseTo(1, 6);
    }
    expect(angularDispersion(-2, wavelength, spacing)).toBe(
      -angularDispersion(2, wavelength, spacing),
    );
  });

  // Common practice, no source: for light of 380–760 nm the first order stands alone, second and third overlap.
  test('overlap of orders', () => {
    expect(orderOverlap(1, 380e-9, 760e-9)).toBeUndefined();
    expect(orderOverlap(2, 380e-9, 760e-9)?.from).toBeCloseTo(570e-9, 18);
    expect(orderOverlap(-2, 380e-9, 760e-9)?.to).toBe(760e-9);
    expect(freeSpectralRange(2, 380e-9)).toBeCloseTo(190e-9, 18);
  });
});

describe('orders at oblique incidence', () => {
  // sin θ = mλ/d + sin θi with λ/d = 1/4 and sin θi = ±1/2.
  const spacing = 2e-6;
  const incidence = Math.asin(0.5);

  test.each([
    [1, 0.75],
    [-1, 0.25],
    [-2, 0],
    [-4, -0.5],
    [-5, -0.75],
  ])(
    'order %d leaves with sin θ = %d: dispersion m/(d cos θ), half-width λ/(N d cos θ)',
    (m, sine) => {
      const cos = Math.sqrt(1 - sine * sine);
      const slope = angularDispersion(m, wavelength, spacing, incidence);
      expect(slope * spacing).toBeCloseTo(m / cos, 9);
      expect(angularDispersion(-m, wavelength, spacing, -incidence)).toBeCloseTo(-slope, 3);
      const width = halfWidth(m, 40, wavelength, spacing, incidence);
      expect(width).toBeCloseTo(0.25 / (40 * cos), 12);
    },
  );

  test('some orders exist on one side only, and it is said which do not', () => {
    for (const m of [3, 4, -7])
      expect(() => angularDispersion(m, wavelength, spacing, incidence)).toThrow(
        new RegExp(`^Order ${m} does not exist: sin θ = mλ/d \\+ sin θi would be ${m / 4 + 0.5}`),
      );
    for (const m of [-3, -4, 7])
      expect(() => halfWidth(m, 40, wavelength, spacing, -incidence)).toThrow(
        new RegExp(`^Order ${m} does not exist: sin θ = mλ/d \\+ sin θi would be ${m / 4 - 0.5}`),
      );
  });

  test('an order along the grating exists, without a limit to its dispersion', () => {
    for (const [m, from] of [
      [2, incidence],
      [-2, -incidence],
      [4, 0],
    ]) {
      const sentence = new RegExp(`^Order ${m} leaves along the grating`);
      expect(() => angularDispersion(m, wavelength, spacing, from)).toThrow(sentence);
      expect(() => halfWidth(m, 40, wavelength, spacing, from)).toThrow(sentence);
    }
  });
});

describe('orders of a grating', () => {
  test('numbers for both signs, for the fewest slits and order 0', () => {
    expect(resolvingPower(3, 2)).toBe(6);
    expect(resolvingPower(-3, 1000)).toBe(3000);
    expect(freeSpectralRange(-2, wavelength)).toBe(wavelength / 2);
    // Order 0 has a width, λ / N d; it has no dispersion.
    expect(halfWidth(0, 10, wavelength, 5e-6)).toBeCloseTo(0.01, 15);
    expect(() => halfWidth(1, 1, wavelength, 5e-6)).toThrow(/from 2/);
    expect(() => halfWidth(0.5, 2, wavelength, 5e-6)).toThrow(/whole number/);
    expect(() => angularDispersion(0, wavelength, 5e-6)).toThrow(/order 0 is white/);
    // m / (d cos θ), sin θ = m λ / d = 0.8.
    expect(angularDispersion(4, wavelength, 2.5e-6)).toBeCloseTo(4 / (2.5e-6 * 0.6), 3);
    expect(halfWidth(4, 100, wavelength, 2.5e-6)).toBeCloseTo(wavelength / (2.5e-4 * 0.6), 12);
  });

  test('the overlap with the next order begins at (m + 1)/m of the shortest wavelength', () => {
    expect(orderOverlap(2, 400e-9, 600e-9)).toBeUndefined();
    expect(orderOverlap(2, 400e-9, 601e-9)).toEqual({
      from: expect.closeTo(600e-9, 18),
      to: 601e-9,
    });
    expect(() => orderOverlap(2, 400e-9, 400e-9)).toThrow(/exchange them/);
  });

  test('missing orders stop at the largest direction asked for, that one included', () => {
    const pair = slits(2, { width: 2e-6, spacing: 4e-6 });
    expect(missingOrders(pair, wavelength)).toEqual([2, 4, 6, 8]);
    expect(missingOrders(pair, wavelength, 0.5)).toEqual([2, 4]);
    expect(missingOrders(pair, wavelength, 0.49)).toEqual([2]);
    expect(missingOrders(pair, wavelength, 0)).toEqual([]);
  });
});
