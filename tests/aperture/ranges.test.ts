import { describe, expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import {
  minima,
  principalMaxima,
  spatialRange,
  subsidiaryMaxima,
  withinRange,
} from '../../kernel-lib/aperture/extrema';
import { withRulingErrors, withTransmissions } from '../../kernel-lib/aperture/imperfect';
import { intensity, intensityProfile } from '../../kernel-lib/aperture/intensity';
import { fresnelNumber, nearField } from '../../kernel-lib/aperture/near-field';
import {
  angularDispersion,
  freeSpectralRange,
  halfWidth,
  missingOrders,
  orderOverlap,
  resolvingPower,
} from '../../kernel-lib/aperture/orders';

import { phasors } from '../../kernel-lib/aperture/phasors';
import { requireSearchable } from '../../kernel-lib/aperture/regular-extrema';

const wavelength = 500e-9;

describe('ranges of direction sines', () => {
  test('are −1 to 1 unless told, in waves per metre, and must ascend', () => {
    expect(spatialRange(wavelength, {})).toEqual({ from: -1 / wavelength, to: 1 / wavelength });
    expect(spatialRange(wavelength, { to: 0.5 })).toEqual({
      from: -1 / wavelength,
      to: 0.5 / wavelength,
    });
    expect(() => spatialRange(wavelength, { from: 0.2, to: 0.2 })).toThrow(/must ascend/);
    expect(() => spatialRange(wavelength, null as never)).toThrow(/is written \{ from: 0/);
    expect(() => spatialRange(wavelength, { from: Infinity })).toThrow(/lower end/);
  });

  test('hold their ends: what misses one by rounding is put there, what lies beyond is not', () => {
    const found = [-0.1, -0.1 * (1 + 4e-16), 0.05, 0.2 * (1 + 4e-16), 0.2 + 1e-12, -0.1 - 1e-12];
    const list = found.map((s) => ({ u: s / wavelength, intensity: 1, order: 3 }));
    const inside = withinRange(list, wavelength, { from: -0.1, to: 0.2 });
    expect(inside.map(({ s }) => s)).toEqual([-0.1, -0.1, expect.closeTo(0.05, 15), 0.2]);
    expect(inside[0]).toEqual({ s: -0.1, intensity: 1, order: 3 });
    expect(withinRange([{ u: 3 / wavelength, intensity: 1 }], wavelength, {})).toEqual([]);
    expect(withinRange([{ u: 0.9 / wavelength, intensity: 1 }], wavelength, {})).toHaveLength(1);
  });

  test('three million fringes are searched, more are not', () => {
    expect(() => requireSearchable(3e6)).not.toThrow();
    expect(() => requireSearchable(3.2e6)).toThrow(/^About 3\.2e\+6 maxima/);
  });

  test('extrema that lie on an end belong to the range', () => {
    const pair = slits(2, { width: 1e-6, spacing: 5e-6 });
    const range = { from: 0.1, to: 0.2 };
    // The envelope moves the first order just below 0.1, out of the range, and the second just below 0.2.
    const orders = principalMaxima(slits(2, { width: 1e-9, spacing: 5e-6 }), wavelength, range);
    expect(orders.map(({ order }) => order)).toEqual([2]);
    const dark = minima(pair, wavelength, { from: 0.05, to: 0.25 });
    expect(dark.map(({ s }) => s)).toEqual([0.05, 0.15, 0.25].map((s) => expect.closeTo(s, 14)));
    expect(dark.map((one) => one.intensity)).toEqual([0, 0, 0]);
    expect(subsidiaryMaxima(pair, wavelength, range)).toEqual([]);
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

  test('light that comes in at an angle goes out with sin θ = mλ/d + sin θi', () => {
    const incidence = Math.asin(-0.5);
    expect(angularDispersion(2, wavelength, 2e-6, incidence)).toBeCloseTo(2 / 2e-6, 3);
    expect(() => angularDispersion(-3, wavelength, 2e-6, incidence)).toThrow(/-1\.25/);
    expect(() => angularDispersion(-2, wavelength, 2e-6, incidence)).toThrow(/θ = 90°/);
    expect(() => halfWidth(1, 10, wavelength, 2e-6, Number.NaN)).toThrow(/The incidence/);
    expect(() => halfWidth(1, 10, wavelength, 0)).toThrow(/The spacing/);
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

describe('ruling errors', () => {
  const grating = slits(2000, { width: 1e-6, spacing: 10e-6 });
  const deviations = (list: readonly number[]) => {
    const mean = list.reduce((sum, x) => sum + x, 0) / list.length;
    return Math.sqrt(list.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (list.length - 1));
  };

  test('places and widths scatter by the deviations asked for', () => {
    const ruled = withRulingErrors(grating, { seed: 4, place: 2e-7, width: 3e-8 });
    const off = ruled.slits.map(({ centre }, i) => centre - grating.slits[i].centre);
    const wide = ruled.slits.map(({ width }) => width - 1e-6);
    // The standard deviation of 2000 is known to 1/√4000 = 1.6 %; four of those.
    expect(Math.abs(deviations(off) / 2e-7 - 1)).toBeLessThan(0.064);
    expect(Math.abs(deviations(wide) / 3e-8 - 1)).toBeLessThan(0.064);
    expect(Math.abs(off.reduce((sum, x) => sum + x, 0) / 2000)).toBeLessThan(4 * (2e-7 / 44.7));
  });

  test('a periodic error is a sine of the number of the slit', () => {
    const periodic = { amplitude: 1e-6, period: 8 };
    const ruled = withRulingErrors(grating, { seed: 4, periodic });
    ruled.slits.slice(0, 20).forEach(({ centre, width }, i) => {
      const off = centre - grating.slits[i].centre;
      expect(off).toBeCloseTo(1e-6 * Math.sin((2 * Math.PI * i) / 8), 14);
      expect(width).toBe(1e-6);
    });
    const without = withRulingErrors(grating, { seed: 4 });
    expect(without.slits.map(({ centre }) => centre)).toEqual(
      grating.slits.map(({ centre }) => centre),
    );
    expect(() =>
      withRulingErrors(grating, { seed: 1, periodic: { ...periodic, period: 0 } }),
    ).toThrow(/The period of the periodic error/);
    expect(() => withRulingErrors(grating, { seed: 1, width: -1e-9 })).toThrow(/of the widths/);
  });

  test('as many transmissions as slits', () => {
    const two = slits(2, { width: 1e-6, spacing: 10e-6 });
    expect(() => withTransmissions(two, [1])).toThrow(/^2 transmissions are needed/);
    expect(() => withTransmissions(two, 5 as never)).toThrow(/but 5 was given/);
  });
});

describe('the near field', () => {
  const one = slits(1, { width: 2e-4 });

  test('the Fresnel number is (half the extent)² / λL, with 1/L = 1/D + 1/D₀', () => {
    expect(fresnelNumber(one, wavelength, 0.5)).toBeCloseTo(1e-8 / (wavelength * 0.5), 12);
    expect(fresnelNumber(one, wavelength, 0.5, { sourceDistance: 0.5 })).toBeCloseTo(
      1e-8 / (wavelength * 0.25),
      12,
    );
    const pair = slitsAt([
      { centre: 1e-4, width: 2e-5 },
      { centre: 4e-4, width: 6e-5 },
    ]);
    // From 90 µm to 430 µm.
    expect(fresnelNumber(pair, wavelength, 1)).toBeCloseTo(1.7e-4 ** 2 / wavelength, 12);
    expect(() => fresnelNumber(one, wavelength, 1, { sourceDistance: 0 })).toThrow(/source/);
  });

  test('a source slit at D₀ magnifies the shadow of an edge by 1 + D/D₀', () => {
    // At the edge of the geometrical shadow of a wide slit a quarter of the light arrives (common practice, no source).
    const wide = slits(1, { width: 0.02 });
    const edge = 0.01 * (1 + 0.2 / 0.1);
    const [at, inside] = nearField(wide, wavelength, 0.2, [edge, 0], { sourceDistance: 0.1 });
    expect(at / inside).toBeCloseTo(0.25, 1);
    expect(nearField(wide, wavelength, 0.2, [0.01])[0]).toBeCloseTo(0.25, 1);
  });

  test('a plate before one of two slits moves the fringes by half of one', () => {
    const pair = slits(2, { width: 1e-5, spacing: 1e-4 });
    const plates = withTransmissions(pair, [1, -1]);
    const [bright] = nearField(pair, wavelength, 2, [0]);
    expect(nearField(plates, wavelength, 2, [0])[0] / bright).toBeLessThan(1e-12);
    const [turned] = nearField(withTransmissions(pair, [1, { re: 0, im: 1 }]), wavelength, 2, [0]);
    expect(turned / bright).toBeCloseTo(0.5, 12);
  });
});

describe('profiles', () => {
  const five = slits(5, { width: 2e-6, spacing: 6e-6 });

  test.each([0, 1, 8, 9, 200])('%d even steps give as many intensities', (count) => {
    const s = Array.from({ length: count }, (_, i) => -0.3 + i * 0.004);
    const profile = intensityProfile(five, wavelength, s);
    expect(profile).toHaveLength(count);
    s.forEach((value, i) => {
      expect(Math.abs(profile[i] - intensity(five, wavelength, value))).toBeLessThan(1e-13);
    });
  });

  test('steps of 0 and values that are not finite are told apart', () => {
    const same = new Array(20).fill(0.1);
    const at = intensity(five, wavelength, 0.1);
    for (const value of intensityProfile(five, wavelength, same)) expect(value).toBeCloseTo(at, 13);
    const huge = Array.from({ length: 20 }, (_, i) => (i === 19 ? Infinity : i / 20));
    expect(() => intensityProfile(five, wavelength, huge)).toThrow(/direction sine/);
  });

  test('a phasor has the length and direction of what its slit adds', () => {
    const list = phasors(five, wavelength, 0.013);
    for (const { from, to, length, phase } of list) {
      expect(to.re - from.re).toBeCloseTo(length * Math.cos(phase), 14);
      expect(to.im - from.im).toBeCloseTo(length * Math.sin(phase), 14);
    }
    // Each slit adds its width times exp(−2πi x s/λ): the last stands at 12 µm.
    expect(list[4].phase).toBeCloseTo((-2 * Math.PI * 12e-6 * 0.013) / wavelength, 12);
  });
});
