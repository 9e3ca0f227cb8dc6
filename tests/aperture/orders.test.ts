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
  test('s and θ undo each other, also when light comes in at 30°', () => {
    for (const angle of [-1.2, -0.3, 0, 0.7, 1.5]) {
      expect(diffractionAngle(directionSine(angle, 0.5), 0.5)).toBeCloseTo(angle, 12);
    }
  });

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
