import fc from 'fast-check';
import { expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { minima, principalMaxima, subsidiaryMaxima } from '../../kernel-lib/aperture/extrema';
import { generalExtrema } from '../../kernel-lib/aperture/general-extrema';
import { intensityProfile } from '../../kernel-lib/aperture/intensity';
import { regularMaxima, regularMinima } from '../../kernel-lib/aperture/regular-extrema';
import { regularRun } from '../../kernel-lib/aperture/runs';
import { seeded } from '../../kernel-lib/numerics/random';

const wavelength = 550e-9;

// d = 61/23 a: zeros of the slit and of the array stand in pairs a hundredth of an order apart.
test.each([
  [2, 4e-6, 6e-6],
  [3, 2.3e-6, 6.1e-6],
  [4, 2e-6, 6e-6],
  [7, 1e-6, 5e-6],
  [5, 3e-6, 3.003e-6],
])(
  '%d equal slits: the search for any aperture finds what the zeros of the formula give',
  (count, width, spacing) => {
    const aperture = slits(count, { width, spacing });
    const [run, end] = [regularRun(aperture)!, 0.97 / wavelength];
    const inside = <T extends { u: number }>(list: T[]) =>
      list.filter(({ u }) => Math.abs(u) < end);
    const search = generalExtrema(aperture, -end, end);
    for (const [zeros, found] of [
      [regularMaxima(run, -end, end), search.maxima],
      [regularMinima(run, -end, end), search.minima],
    ]) {
      const [expected, ours] = [inside(zeros), inside(found)];
      expect(ours).toHaveLength(expected.length);
      ours.forEach((extremum, i) => {
        expect(Math.abs(extremum.u - expected[i].u) * wavelength).toBeLessThan(1e-12);
        expect(Math.abs(extremum.intensity - expected[i].intensity)).toBeLessThan(1e-13);
      });
    }
  },
);

test('no extremum of random apertures is missed or made up: counted in 200 001 samples', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
      const random = seeded(seed);
      let edge = 0;
      const aperture = slitsAt(
        Array.from({ length: 2 + random.whole(5) }, () => {
          const [gap, width] = [5e-6 + 6e-5 * random.uniform(), 5e-6 + 6e-5 * random.uniform()];
          edge += gap + width;
          const sign =
            seed % 3 === 0 ? { re: random.normal(), im: random.normal() } : 0.2 + random.uniform();
          return { centre: edge - width / 2, width, transmission: sign };
        }),
      );
      const range = { from: -0.0488, to: 0.0512 };
      const s = Float64Array.from({ length: 200_001 }, (_, i) => range.from + i * 5e-7);
      const p = intensityProfile(aperture, wavelength, s);
      let [bright, dark] = [0, 0];
      for (let i = 1; i < 200_000; i++) {
        if (p[i] > p[i - 1] && p[i] >= p[i + 1]) bright++;
        if (p[i] < p[i - 1] && p[i] <= p[i + 1]) dark++;
      }
      const principal = principalMaxima(aperture, wavelength, range).length;
      expect(principal + subsidiaryMaxima(aperture, wavelength, range).length).toBe(bright);
      expect(minima(aperture, wavelength, range)).toHaveLength(dark);
    }),
    { seed: 12, numRuns: 40 },
  );
});

test('the envelope draws principal maxima towards the top of its lobe: orders 1 and 2 inwards, 3 outwards', () => {
  // d = 5a/2: the envelope is dark at 2.5 orders; its first side lobe is highest at 1.43 × 2.5 = 3.6.
  const pair = slits(2, { width: 2e-6, spacing: 5e-6 });
  const [zero, ...others] = principalMaxima(pair, wavelength, { from: 0, to: 0.36 });
  expect(zero.s).toBe(0);
  const shifts = others.map(({ order, s }) => s - (order * wavelength) / 5e-6);
  expect(shifts.map(Math.sign)).toEqual([-1, -1, 1]);
});

test('ends of the range count: a grazing order is found, at s = 1', () => {
  const grating = slits(3, { width: 1e-9, spacing: 10 * wavelength });
  const last = minima(slits(1, { width: 4 * wavelength }), wavelength).pop()!;
  expect(last.s).toBe(1);
  const orders = principalMaxima(grating, wavelength).map(({ order }) => order);
  expect(Math.max(...orders)).toBeGreaterThanOrEqual(9);
});

test('extrema that lie on an end belong to the range', () => {
  const light = 500e-9;
  const pair = slits(2, { width: 1e-6, spacing: 5e-6 });
  const range = { from: 0.1, to: 0.2 };
  // The envelope moves the first order just below 0.1, out of the range, and the second just below 0.2.
  const orders = principalMaxima(slits(2, { width: 1e-9, spacing: 5e-6 }), light, range);
  expect(orders.map(({ order }) => order)).toEqual([2]);
  const dark = minima(pair, light, { from: 0.05, to: 0.25 });
  expect(dark.map(({ s }) => s)).toEqual([0.05, 0.15, 0.25].map((s) => expect.closeTo(s, 14)));
  expect(dark.map((one) => one.intensity)).toEqual([0, 0, 0]);
  expect(subsidiaryMaxima(pair, light, range)).toEqual([]);
});
