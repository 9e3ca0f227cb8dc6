import { describe, expect, test } from 'vitest';
import { profileExtrema } from '../../../kernel-lib/fitting/profile-extrema';
import { lengthFromOrders } from '../../../kernel-lib/fitting/slits/length-from-orders';
import { seeded } from '../../../kernel-lib/numerics/random';
import { measured } from '../../../kernel-lib/quantity/measured';
import { brutePattern } from './brute-pattern';

// Where the grating equation has them: sin θ = m λ/L, x = x₀ + f tan θ.
const [wavelength, focalLength, length, centre] = [650e-9, 1.5, 80e-6, 4e-3];
const placeOf = (m: number) =>
  centre + focalLength * Math.tan(Math.asin((m * wavelength) / length));

describe('a line through orders', () => {
  const orders = [-3, -2, -1, 1, 2, 3];
  const places = orders.map(placeOf);

  test('gives back the length and the centre, also at large angles', () => {
    const found = lengthFromOrders({ orders, places, wavelength, focalLength });
    expect(found.length.value).toBeCloseTo(length, 12);
    expect(found.centre.value).toBeCloseTo(centre, 9);
    const wide = orders.map((m) => 0.1 * Math.tan(Math.asin((m * wavelength) / 4e-6)));
    const near = lengthFromOrders({ orders, places: wide, wavelength, focalLength: 0.1 });
    expect(near.length.value / 4e-6).toBeCloseTo(1, 8);
  });

  test('readings of known u: u(L)/L = u(x)/(f √Σm²)/(λ/L), JCGM 100:2008 H.3 for the slope', () => {
    const u = 1e-4;
    const found = lengthFromOrders({ orders, places, u, wavelength, focalLength });
    const expected = u / focalLength / Math.sqrt(28) / (wavelength / length);
    expect(Math.abs(found.length.relative / expected - 1)).toBeLessThan(0.01);
    // Wavelength and distance add theirs: 0.2 % and 0.3 %.
    const both = lengthFromOrders({
      ...{ orders, places, u },
      wavelength: measured(wavelength, 0.002 * wavelength),
      focalLength: measured(focalLength, 0.003 * focalLength),
    });
    const together = Math.hypot(expected, 0.002, 0.003);
    expect(Math.abs(both.length.relative / together - 1)).toBeLessThan(0.01);
    // So does the scale of a picture, by which all places are long or short together: 0.4 %.
    const scaled = lengthFromOrders({ orders, places, u, wavelength, focalLength, uScale: 0.004 });
    const withScale = Math.hypot(expected, 0.004);
    expect(Math.abs(scaled.length.relative / withScale - 1)).toBeLessThan(0.01);
    expect(scaled.length.value).toBe(found.length.value);
  });

  test('without u the scatter tells it: of 300 series nine in ten and more lie within 2.8 u (four degrees of freedom)', () => {
    const random = seeded('by hand');
    let inside = 0;
    for (let k = 0; k < 300; k++) {
      const read = places.map((place) => place + 2e-4 * random.normal());
      const found = lengthFromOrders({ orders, places: read, wavelength, focalLength });
      if (Math.abs(found.length.value - length) < 2.776 * found.length.u) inside++;
    }
    // Student's t with 4 degrees of freedom: 95 % within 2.776 (NIST Handbook, 1.3.6.7.2, from memory).
    expect(inside).toBeGreaterThan(274);
    expect(inside).toBeLessThan(296);
  });

  test('places that run the other way, and halves of orders', () => {
    const dark = [-1.5, -0.5, 0.5, 1.5];
    const found = lengthFromOrders({
      ...{ orders: dark, wavelength, focalLength },
      places: dark.map((m) => placeOf(-m)),
    });
    expect(found.length.value).toBeCloseTo(length, 12);
  });

  test.each([
    [{ orders: [1, 2], places: [0, 1] }, /orders must have at least 3 values/],
    [{ orders: [1, 1, 1], places: [0, 1, 2] }, /All x are 1/],
    [{ orders: [1, 2, 3], places: [0, 1] }, /places must have 3 values/],
    [{ orders: [1, 2, 3], places: [0, 1, 2], wavelength: 0 }, /wavelength is 0/],
  ])('%o is refused', (wrong, sentence) => {
    expect(() => lengthFromOrders({ wavelength, focalLength, ...wrong })).toThrow(sentence);
  });
});

describe('bright and dark places', () => {
  const x = Float64Array.from({ length: 601 }, (_, i) => (i - 300) * 1e-4);
  const setting = { width: 80e-6, spacing: 1e-4, wavelength, focalLength, centre: 0 };
  const random = seeded('places');
  const noisy = brutePattern(x, { ...setting, count: 1, visibility: 1, shape: 'box' }).map(
    (v) => v + 0.004 * random.normal(),
  );

  test('of one slit: its minima, at m λ f/a', () => {
    const dark = profileExtrema({ x, y: noisy }, { least: 0.01 }).filter(
      ({ kind }) => kind === 'minimum',
    );
    expect(dark.length).toBeGreaterThanOrEqual(4);
    for (const one of dark) {
      const order = (one.place * 80e-6) / (wavelength * focalLength);
      expect(Math.abs(order - Math.round(order))).toBeLessThan(0.08);
      expect(Math.round(order)).not.toBe(0);
    }
  });

  test('tops that are full have no place', () => {
    const y = noisy.map((v) => Math.min(v, 0.6));
    const saturated = Uint8Array.from(y, (v) => (v === 0.6 ? 1 : 0));
    const tops = profileExtrema({ x, y, saturated }).filter(({ height }) => height > 0.5);
    expect(tops).toEqual([]);
  });

  test('a few points show none', () => {
    expect(() => profileExtrema({ x: x.slice(0, 5), y: x.slice(0, 5) })).toThrow(/5 points/);
  });
});
