import { describe, expect, test } from 'vitest';
import { fitLine } from '../../../kernel-lib/fitting/fit-line';
import { SlitModel } from '../../../kernel-lib/fitting/slits/slit-model';
import { bestGuesses, findHints, guessSlits } from '../../../kernel-lib/fitting/slits/slit-start';
import { seeded } from '../../../kernel-lib/numerics/random';

const wavelength = 500e-9;
const far = { wavelength, focalLength: 0.5 };
const x = Float64Array.from({ length: 161 }, (_, i) => (i - 80) * 1e-4);
const one = new Float64Array(161).fill(1);
const spacing = 100e-6;

/** Pattern of the given width, amplitude 70, background 4, middle 0.2 mm, at the visibility of guesses. */
function pattern(count: number, width: number) {
  const model = new SlitModel(x, count, far);
  const y = new Float64Array(161);
  model.evaluate([width, 70, 4, 2e-4, spacing, 0.9], one, y);
  return y;
}
const hints = {
  centres: [0, 2e-4, -3e-4],
  spacings: [50e-6, spacing, 200e-6],
  unresolved: [60e-6, 64e-6] as const,
  widths: [10e-6, 200e-6] as const,
};
const guess = (y: Float64Array, count: number, more = {}, weights = one, keep = 4) =>
  guessSlits({ x, y }, weights, count, far, { ...hints, ...more }, keep);

describe('what a profile can show', () => {
  test('widths: from a quarter of λ over the whole angle to half of λ over an angle between points', () => {
    const y = pattern(3, 38e-6);
    // 16 mm at 0.5 m: 0.032; between points 0.0002.
    const { widths, centres, spacings } = findHints({ x, y }, far);
    expect(widths[0]).toBeCloseTo((0.25 * wavelength) / 0.032, 15);
    expect(widths[1]).toBeCloseTo((0.5 * wavelength) / 0.0002, 12);
    expect(Math.abs(centres[0] - 2e-4)).toBeLessThan(1e-5);
    expect(Math.abs(spacings[0] - spacing)).toBeLessThan(2e-6);
  });

  test('spacings too small for a peak of their own: from 1.2 to 4 times λ over the angle', () => {
    // 16 mm at 0.5 m with 500 nm: 15.6 µm.
    const { unresolved } = findHints({ x, y: pattern(3, 38e-6) }, far);
    expect(unresolved[0] / 18.75e-6).toBeCloseTo(1, 9);
    expect(unresolved[1] / 62.5e-6).toBeCloseTo(1, 9);
  });

  test('without a focal length positions are angles already', () => {
    const s = x.map((v) => 0.1 + v);
    const { widths } = findHints({ x: s, y: pattern(3, 38e-6) }, { wavelength });
    expect(widths[0]).toBeCloseTo((0.25 * wavelength) / 0.016, 15);
    expect(widths[1]).toBeCloseTo((0.5 * wavelength) / 1e-4, 12);
  });
});

describe('guesses for several slits', () => {
  test('the truth, when it is among the candidates, comes first with nothing left over', () => {
    for (const share of [0.15, 0.38, 0.65]) {
      const [best] = guess(pattern(3, share * spacing), 3);
      const [width, amplitude, background, centre, d, visibility] = best.parameters;
      expect(width).toBeCloseTo(share * spacing, 12);
      expect(amplitude).toBeCloseTo(70, 7);
      expect(background).toBeCloseTo(4, 7);
      expect([centre, d, visibility]).toEqual([2e-4, spacing, 0.9]);
      expect(Math.abs(best.chiSquare)).toBeLessThan(1e-7);
    }
  });

  test('the best are kept, as many as asked for, in the order of χ²', () => {
    const y = pattern(3, 38e-6);
    const all = guess(y, 3, {}, one, 1000).map(({ chiSquare }) => chiSquare);
    expect(guess(y, 3).map(({ chiSquare }) => chiSquare)).toEqual(all.slice(0, 4));
    expect(all).toEqual([...all].sort((a, b) => a - b));
    expect(all.length).toBeLessThanOrEqual(90);
    expect(all.length).toBeGreaterThan(45);
  });

  test('a width that is known is the only one', () => {
    for (const { parameters } of guess(pattern(3, 38e-6), 3, { width: 31e-6 }, one, 1000))
      expect(parameters[0]).toBe(31e-6);
  });

  test('amplitude, background and χ² are those of a weighted straight line against the shape', () => {
    const random = seeded('start');
    const y = pattern(3, 38e-6).map((v) => v + 5 * random.normal());
    const u = x.map((_, i) => 1 + (i % 3));
    const weights = u.map((v) => 1 / v);
    const known = { width: 38e-6, centres: [2e-4], spacings: [spacing] };
    const [best, ...others] = guess(y, 3, known, weights);
    expect(others).toEqual([]);
    const shape = pattern(3, 38e-6).map((v) => (v - 4) / 70);
    const line = fitLine({ x: shape, y, u });
    expect(best.parameters[2]).toBeCloseTo(line.parameters[0].value, 8);
    expect(best.parameters[1]).toBeCloseTo(line.parameters[1].value, 8);
    expect(best.chiSquare).toBeCloseTo(line.chiSquare, 6);
  });

  test('dark fringes on a bright ground are no slits', () => {
    const y = pattern(3, 38e-6).map((v) => 100 - v);
    const known = { width: 38e-6, centres: [2e-4], spacings: [spacing] };
    expect(guess(y, 3, known)).toEqual([]);
  });
});

describe('the best guesses', () => {
  const best = (y: Float64Array, count: number) => bestGuesses({ x, y }, one, count, far, hints, 3);

  test('each has another spacing, the best comes first', () => {
    const guesses = best(pattern(3, 38e-6), 3);
    expect(guesses).toHaveLength(3);
    expect(guesses[0].parameters[4]).toBe(spacing);
    expect(new Set(guesses.map(({ parameters }) => parameters[4])).size).toBe(3);
    const chi = guesses.map(({ chiSquare }) => chiSquare);
    expect(chi).toEqual([...chi].sort((a, b) => a - b));
  });

  test('one of a row that has no peak in the spectrum is found, and low contrast too', () => {
    const model = new SlitModel(x, 3, far);
    const y = new Float64Array(161);
    model.evaluate([0.76 * 64e-6, 70, 4, 2e-4, 64e-6, 0.6], one, y);
    const [first] = best(y, 3);
    expect(first.parameters[4]).toBe(64e-6);
    expect(first.parameters[5]).toBe(0.6);
    expect(Math.abs(first.chiSquare)).toBeLessThan(1e-7);
  });

  test('of one slit they differ in width', () => {
    const widths = best(pattern(1, 60e-6), 1).map(({ parameters }) => parameters[0]);
    expect(new Set(widths).size).toBe(3);
  });
});

describe('guesses for one slit', () => {
  test('widths cover what the profile can show in steps of less than a fifth', () => {
    const widths = guess(pattern(1, 60e-6), 1, { centres: [2e-4] }, one, 1000)
      .map(({ parameters }) => parameters[0])
      .sort((a, b) => a - b);
    expect(widths[0]).toBeCloseTo(10e-6, 12);
    expect(widths.at(-1)).toBeCloseTo(200e-6, 12);
    for (let k = 1; k < widths.length; k++) {
      expect(widths[k] / widths[k - 1]).toBeLessThan(1.18 + 1e-9);
      expect(widths[k] / widths[k - 1]).toBeGreaterThan(1.1);
    }
  });

  test('the nearest of them is the best; there is neither spacing nor visibility', () => {
    const [best] = guess(pattern(1, 60e-6), 1);
    expect(best.parameters).toHaveLength(4);
    expect(Math.abs(Math.log(best.parameters[0] / 60e-6))).toBeLessThan(Math.log(1.18) / 2);
    expect(best.parameters[3]).toBe(2e-4);
  });

  test('a slit so narrow that its light is even all over says nothing', () => {
    expect(guess(pattern(1, 60e-6), 1, { width: 1e-12 })).toEqual([]);
  });

  test('hardly any range of widths: its ends and one between', () => {
    const widths = guess(pattern(1, 60e-6), 1, { widths: [60e-6, 61e-6], centres: [0] });
    expect(widths).toHaveLength(3);
  });
});
