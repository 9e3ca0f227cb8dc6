import { describe, expect, test } from 'vitest';
import { fitLine } from '../../../kernel-lib/fitting/fit-line';
import { type SlitGeometry, SlitModel } from '../../../kernel-lib/fitting/slits/slit-model';
import {
  bestGuesses,
  findHints,
  guessSlits,
  patternCentres,
  spacingCandidates,
} from '../../../kernel-lib/fitting/slits/slit-start';
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

const even = (count: number, low: number, high: number) =>
  Float64Array.from({ length: count }, (_, i) => low + ((high - low) * i) / (count - 1));

const around = (count: number, reach: number, middle = 0) =>
  even(count, middle - reach, middle + reach);

/** Σ of cosines: each a pair of openings at a distance d, of some strength. */
const fringes = (x: Float64Array, geometry: SlitGeometry, pairs: [d: number, part: number][]) =>
  x.map((v) => {
    const s =
      geometry.focalLength === undefined ? v : Math.sin(Math.atan(v / geometry.focalLength));
    const wave = (d: number) => Math.cos((2 * Math.PI * d * s) / geometry.wavelength);
    return 5 + pairs.reduce((sum, [d, part]) => sum + part * wave(d), 0);
  });

describe('spacings of two openings', () => {
  // Range of s/λ 0.02/500 nm = 40 000/m: a fourth of the resolution is 6.25 µm.
  const x = around(400, 0.01);
  test.each([100, 132.1, 227.4, 400])('%d µm apart', (micro) => {
    const d = micro * 1e-6;
    const [first, ...others] = spacingCandidates(
      { x, y: fringes(x, { wavelength }, [[d, 1]]) },
      { wavelength },
    );
    expect(Math.abs(first - d)).toBeLessThan(0.05 * 6.25e-6);
    expect(others).toContain(first / 2);
    expect(others).toContain(first / 3);
  });

  test('faint fringes on a bright ground, and a record that does not begin at zero', () => {
    const aside = around(401, 0.01, 0.3);
    const y = fringes(aside, { wavelength }, [[150e-6, 1]]).map((v) => 1e5 + v);
    const [first] = spacingCandidates({ x: aside, y }, { wavelength });
    expect(Math.abs(first - 150e-6)).toBeLessThan(0.05 * 6.25e-6);
  });

  test('behind a lens, at wide angles, where fringes are no longer even on the screen', () => {
    const geometry = { wavelength, focalLength: 0.05 };
    const wide = around(800, 0.05, 0.01);
    const [first] = spacingCandidates(
      { x: wide, y: fringes(wide, geometry, [[30e-6, 1]]) },
      geometry,
    );
    // The ends of the record are at s = 0.768 and −0.625.
    expect(Math.abs(first - 30e-6)).toBeLessThan(0.2 * (wavelength / (4 * 1.393)));
  });

  test('fringes as fine as two points each are the finest that can be told', () => {
    const few = around(41, 0.01);
    const finest = wavelength / (2 * 5e-4);
    const candidates = spacingCandidates(
      { x: few, y: fringes(few, { wavelength }, [[0.8 * finest, 1]]) },
      { wavelength },
    );
    expect(Math.abs(candidates[0] / (0.8 * finest) - 1)).toBeLessThan(0.01);
    expect(Math.max(...candidates)).toBeLessThanOrEqual(finest);
  });
});

describe('spacings of several openings', () => {
  const x = around(600, 0.01);
  test('distances come in the order of their strength, then fractions of the strongest', () => {
    const y = fringes(x, { wavelength }, [
      [300e-6, 0.3],
      [100e-6, 1],
      [200e-6, 0.6],
    ]);
    const candidates = spacingCandidates({ x, y }, { wavelength });
    for (const [k, d] of [100e-6, 200e-6, 300e-6].entries())
      expect(Math.abs(candidates[k] - d)).toBeLessThan(1.5e-6);
    expect(candidates.slice(-2)).toEqual([candidates[0] / 2, candidates[0] / 3]);
    expect(candidates.length).toBeLessThanOrEqual(8);
  });

  test('six peaks at most', () => {
    const pairs = Array.from({ length: 9 }, (_, k): [number, number] => [
      (k + 1) * 60e-6,
      1 - k / 20,
    ]);
    const candidates = spacingCandidates(
      { x, y: fringes(x, { wavelength }, pairs) },
      { wavelength },
    );
    expect(candidates).toHaveLength(8);
    for (let k = 0; k < 6; k++)
      expect(Math.abs(candidates[k] - (k + 1) * 60e-6)).toBeLessThan(1.5e-6);
  });
});

test('no peak, no candidate for a spacing', () => {
  const x = around(50, 0.01);
  expect(spacingCandidates({ x, y: x.map(() => 0) }, { wavelength })).toEqual([]);
});

const sinc2 = (v: number) => (v === 0 ? 1 : (Math.sin(v) / v) ** 2);
describe('the middle of a symmetric pattern', () => {
  test.each([-0.0021, 0.00003, 0.0013])('one slit, its middle at %d m', (centre) => {
    const x = even(512, -0.005, 0.005);
    const y = x.map((v) => 0.1 + sinc2((v - centre) * 2500));
    // A cell of the grid is 20 µm.
    expect(Math.abs(patternCentres({ x, y })[0] - centre)).toBeLessThan(1e-6);
  });

  test('a record that does not begin at zero, with 40 points or 3000', () => {
    for (const count of [40, 3000]) {
      const x = even(count, 0.01, 0.02);
      const y = x.map((v) => 7 * Math.exp(-(((v - 0.0164) / 0.001) ** 2)));
      expect(Math.abs(patternCentres({ x, y })[0] - 0.0164)).toBeLessThan(4e-6);
    }
  });

  test('fringes: side candidates lie half a fringe apart, six at most, the middle first', () => {
    // Fringes 1 mm apart under a wide envelope.
    const x = even(1000, -0.01, 0.01);
    const y = x.map((v) => sinc2((v - 2e-4) * 300) * Math.cos(Math.PI * 1000 * (v - 2e-4)) ** 2);
    const centres = patternCentres({ x, y });
    expect(centres).toHaveLength(6);
    expect(Math.abs(centres[0] - 2e-4)).toBeLessThan(2e-6);
    const sides = centres.slice(1, 3).sort((a, b) => a - b);
    expect(Math.abs(sides[0] - (2e-4 - 5e-4))).toBeLessThan(2e-5);
    expect(Math.abs(sides[1] - (2e-4 + 5e-4))).toBeLessThan(2e-5);
  });

  test('a high background does not draw the middle to that of the record', () => {
    const x = even(512, -0.005, 0.005);
    const peak = (v: number) => Math.max(0, 1 - ((v - 0.003) / 0.001) ** 2);
    const [centre] = patternCentres({ x, y: x.map((v) => 1000 + peak(v)) });
    expect(Math.abs(centre - 0.003)).toBeLessThan(1e-6);
  });

  test('nothing but background: the middle of the record, to a cell', () => {
    const x = even(300, 0.01, 0.02);
    const centres = patternCentres({ x, y: x.map(() => 3) });
    expect(centres).toHaveLength(1);
    expect(Math.abs(centres[0] - 0.015)).toBeLessThan(2e-5);
  });
});

describe('points that do not lie on the grid of 512 cells', () => {
  // A cell apart: 1. Corners of a lopsided tent with a second, smaller one.
  const x = Float64Array.of(0, 40, 180, 200, 333, 340, 390, 511);
  const y = Float64Array.of(0, 0, 5, 3, 0, 2, 0, 0);
  const line = (at: number) => {
    const k = Math.max(
      1,
      x.findIndex((v) => v >= at),
    );
    return y[k - 1] + ((at - x[k - 1]) / (x[k] - x[k - 1])) * (y[k] - y[k - 1]);
  };
  const grid = even(512, 0, 511);
  const known = patternCentres({ x: grid, y: grid.map(line) });

  test('between neighbours far apart a straight line is taken', () => {
    const centres = patternCentres({ x, y });
    expect(centres).toHaveLength(known.length);
    for (const [k, centre] of centres.entries()) expect(centre).toBeCloseTo(known[k], 9);
  });

  test('several points of a cell count with their mean', () => {
    const triple = Array.from(grid).flatMap((at) =>
      at === 0 || at === 511 ? [at] : [at - 0.3, at, at + 0.4],
    );
    const scatter = [1, 0, -1];
    const signal = triple.map((at) => {
      const cell = Math.round(at);
      const which = at === cell ? 1 : at < cell ? 0 : 2;
      return line(cell) + scatter[which];
    });
    const centres = patternCentres({ x: Float64Array.from(triple), y: Float64Array.from(signal) });
    for (const [k, centre] of centres.entries()) expect(centre).toBeCloseTo(known[k], 9);
  });
});
