import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Aperture, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { minima, principalMaxima, subsidiaryMaxima } from '../../kernel-lib/aperture/extrema';
import { intensity, intensityProfile } from '../../kernel-lib/aperture/intensity';

const options = { seed: 20260401, numRuns: 150 };
const wavelength = 550e-9;

/** Gaps and widths from 5 µm to 80 µm, up to 8 slits; transmissions between 0.1 and 1. */
const apertures = fc
  .array(
    fc.record({
      gap: fc.double({ min: 5e-6, max: 80e-6, noNaN: true }),
      width: fc.double({ min: 5e-6, max: 80e-6, noNaN: true }),
      transmission: fc.double({ min: 0.1, max: 1, noNaN: true }),
    }),
    { minLength: 1, maxLength: 8 },
  )
  .map((parts) => {
    let edge = -2e-4;
    return slitsAt(
      parts.map(({ gap, width, transmission }) => {
        edge += gap + width;
        return { centre: edge - width / 2, width, transmission };
      }),
    );
  });
const regular = fc
  .record({
    count: fc.integer({ min: 1, max: 40 }),
    width: fc.double({ min: 5e-6, max: 60e-6, noNaN: true }),
    ratio: fc.double({ min: 1, max: 6, noNaN: true }),
  })
  .map(({ count, width, ratio }) => slits(count, { width, spacing: width * ratio }));
const any = fc.oneof(apertures, regular);
const sines = fc.double({ min: -0.9, max: 0.9, noNaN: true });

const moved = (aperture: Aperture, by: number, scale = 1) =>
  slitsAt(
    aperture.slits.map(({ centre, width, transmission }) => ({
      centre: centre * scale + by,
      width: width * scale,
      transmission,
    })),
  );

test('real transmissions make symmetric patterns', () => {
  fc.assert(
    fc.property(any, sines, (aperture, s) => {
      const [left, right] = [
        intensity(aperture, wavelength, -s),
        intensity(aperture, wavelength, s),
      ];
      expect(Math.abs(left - right)).toBeLessThan(1e-12);
    }),
    options,
  );
});

test('intensities lie between 0 and that straight ahead, where they are exactly 1', () => {
  fc.assert(
    fc.property(any, sines, (aperture, s) => {
      const value = intensity(aperture, wavelength, s);
      expect(value).toBeGreaterThanOrEqual(0);
      expect(value).toBeLessThanOrEqual(1 + 1e-12);
      expect(intensity(aperture, wavelength, 0)).toBe(1);
    }),
    options,
  );
});

test('moving the aperture sideways changes nothing', () => {
  fc.assert(
    fc.property(
      any,
      sines,
      fc.double({ min: -1e-3, max: 1e-3, noNaN: true }),
      (aperture, s, by) => {
        const change =
          intensity(moved(aperture, by), wavelength, s) - intensity(aperture, wavelength, s);
        // 1 mm is 1800 waves at grazing angles: rounding of the phases may show in the twelfth digit.
        expect(Math.abs(change)).toBeLessThan(1e-10);
      },
    ),
    options,
  );
});

test('an aperture k times as large makes a pattern k times as small, and a wavelength k times as long undoes it', () => {
  fc.assert(
    fc.property(any, sines, fc.double({ min: 0.3, max: 4, noNaN: true }), (aperture, s, k) => {
      const plain = intensity(aperture, wavelength, s);
      const large = moved(aperture, 0, k);
      // Beyond 2 there is no direction.
      if (Math.abs(s / k) <= 2)
        expect(Math.abs(intensity(large, wavelength, s / k) - plain)).toBeLessThan(1e-11);
      expect(Math.abs(intensity(large, wavelength * k, s) - plain)).toBeLessThan(1e-11);
    }),
    options,
  );
});

test('the pattern holds the energy that the slits let through', () => {
  // Parseval: ∫|F|² du = Σ|t|²a. The tail beyond U falls as 1/u²: on average Σ|t|² / (π²U) on both sides.
  fc.assert(
    fc.property(any, (aperture) => {
      const { slits: list } = aperture;
      const amplitudes = list.map(({ transmission, width }) => Number(transmission) * width);
      const ahead = amplitudes.reduce((sum, a) => sum + a, 0) ** 2;
      const through = list.reduce((sum, a, i) => sum + Number(a.transmission) * amplitudes[i], 0);
      const squares = list.reduce((sum, a) => sum + Number(a.transmission) ** 2, 0);
      const extent = list[list.length - 1].centre - list[0].centre + 160e-6;
      const end = 60 / Math.min(...list.map(({ width }) => width));
      const points = Math.ceil(end * extent * 4) + 1;
      // Light so short that u = end is still a direction: s = 1.
      const s = Float64Array.from({ length: points }, (_, i) => i / (points - 1));
      const profile = intensityProfile(aperture, 1 / end, s);
      let sum = -(profile[0] + profile[points - 1]) / 2;
      for (const value of profile) sum += value;
      const inside = (2 * sum * ahead * end) / (points - 1);
      const tail = squares / (Math.PI ** 2 * end);
      expect(Math.abs((inside + tail) / through - 1)).toBeLessThan(0.003);
    }),
    { ...options, numRuns: 60 },
  );
});

test('a profile at even steps, and at any others, is the intensity at each of them', () => {
  fc.assert(
    fc.property(
      any,
      sines,
      fc.double({ min: 1e-6, max: 1e-3, noNaN: true }),
      fc.integer({ min: 0, max: 400 }),
      (aperture, from, step, length) => {
        const even = Float64Array.from({ length }, (_, i) => from + i * step);
        const uneven = even.map((s, i) => s + (i % 3) * 1e-5);
        for (const s of [even, uneven]) {
          const profile = intensityProfile(aperture, wavelength, s);
          let worst = 0;
          s.forEach((value, i) => {
            worst = Math.max(worst, Math.abs(profile[i] - intensity(aperture, wavelength, value)));
          });
          expect(worst).toBeLessThan(1e-12);
        }
      },
    ),
    { ...options, numRuns: 80 },
  );
});

test('minima and maxima take turns; near each the intensity is higher, or lower', () => {
  fc.assert(
    fc.property(any, fc.double({ min: -0.2, max: 0.15, noNaN: true }), (aperture, from) => {
      const range = { from, to: from + 0.03 };
      const dark = minima(aperture, wavelength, range);
      const bright = [
        ...principalMaxima(aperture, wavelength, range),
        ...subsidiaryMaxima(aperture, wavelength, range),
      ].sort((a, b) => a.s - b.s);
      const turns = [
        ...dark.map(({ s }) => ({ s, bright: false })),
        ...bright.map(({ s }) => ({ s, bright: true })),
      ];
      turns.sort((a, b) => a.s - b.s);
      for (let i = 1; i < turns.length; i++) expect(turns[i].bright).not.toBe(turns[i - 1].bright);
      // Between a minimum and the maximum beside it the intensity only rises.
      for (let i = 1; i < turns.length; i++) {
        const at = (k: number) =>
          intensity(aperture, wavelength, turns[i - 1].s + ((turns[i].s - turns[i - 1].s) * k) / 8);
        for (let k = 0; k < 8; k++) {
          const rise = turns[i].bright ? at(k + 1) - at(k) : at(k) - at(k + 1);
          expect(rise).toBeGreaterThan(-1e-14);
        }
      }
    }),
    { ...options, numRuns: 60 },
  );
});
