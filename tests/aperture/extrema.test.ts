import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Aperture, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { minima, principalMaxima, subsidiaryMaxima } from '../../kernel-lib/aperture/extrema';
import { generalExtrema } from '../../kernel-lib/aperture/general-extrema';
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

/**
 * |sum over slits of the integral of t exp(-2πi u x)|² at u = (from + i step)/λ, up to a factor: the integral is
 * the difference of two phasors, one for each edge, over 2πu. Each is turned on by one step from the last.
 */
function edgeSums({ slits: all }: Aperture, from: number, step: number, points: number) {
  const [real, imaginary] = [new Float64Array(points), new Float64Array(points)];
  for (const { centre, width, transmission } of all)
    for (const side of [-1, 1]) {
      const t = typeof transmission === 'number' ? { re: transmission, im: 0 } : transmission;
      const phase = (-2 * Math.PI * (centre + (side * width) / 2)) / wavelength;
      const [turnRe, turnIm] = [Math.cos(phase * step), Math.sin(phase * step)];
      let [re, im] = [0, 0];
      for (let i = 0; i < points; i++) {
        if (i % 1000 === 0) {
          const [cos, sin] = [
            Math.cos(phase * (from + i * step)),
            Math.sin(phase * (from + i * step)),
          ];
          [re, im] = [side * (t.re * cos - t.im * sin), side * (t.re * sin + t.im * cos)];
        }
        real[i] += re;
        imaginary[i] += im;
        const next = re * turnRe - im * turnIm;
        im = re * turnIm + im * turnRe;
        re = next;
      }
    }
  return real.map((re, i) => (re * re + imaginary[i] ** 2) / (from + i * step) ** 2);
}

test('no extremum of random apertures is missed or made up: counted in 200 000 samples', () => {
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
      // Half a step aside, so that no sample lies at s = 0, where the quotient has no value.
      const p = edgeSums(aperture, range.from + 2.5e-7, 5e-7, 200_000);
      let [bright, dark] = [0, 0];
      for (let i = 1; i < 199_999; i++) {
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
