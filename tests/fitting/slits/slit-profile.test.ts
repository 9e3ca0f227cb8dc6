import { describe, expect, test } from 'vitest';
import { slitProfile } from '../../../kernel-lib/fitting/slits/slit-profile';
import { type Random, seeded } from '../../../kernel-lib/numerics/random';
import { brutePattern } from './brute-pattern';

const wavelength = 500e-9;
const focalLength = 0.5;
const pair = { count: 2, width: 50e-6, spacing: 125e-6, wavelength, focalLength };
/** A stream whose every normal deviate is the same: 0 takes the noise away. */
const steady = (deviate: number): Random => ({ ...seeded(1), normal: () => deviate });

/** Young's fringes under the slit's envelope at a place on the screen, the mean over the points of a source slit. */
const young = (x: number, visibility: number) => {
  const made = { count: 2, width: pair.width, spacing: pair.spacing, wavelength, focalLength };
  const setting = { ...made, centre: 0, visibility, shape: 'box' } as const;
  return brutePattern(Float64Array.of(x), setting, 1000)[0];
};

describe('what is recorded when nothing is said', () => {
  const record = () => slitProfile(steady(0), pair);

  test('400 places, 1.2 λf/a to either side', () => {
    const { x } = record();
    expect(x).toHaveLength(400);
    expect(x[0]).toBeCloseTo(-6e-3, 12);
    expect(x[399]).toBeCloseTo(6e-3, 12);
    expect(x[200] - x[199]).toBeCloseTo(12e-3 / 399, 12);
  });

  test('1000 counts over a background of 20, fringes of visibility 0.95', () => {
    const { x, y } = record();
    for (const i of [0, 57, 150, 199, 321])
      expect(y[i]).toBeCloseTo(20 + 1000 * young(x[i], 0.95), 3);
  });

  test('uncertainty: 5 counts of reading, and half the root of the signal', () => {
    const { y, u } = record();
    for (const i of [0, 57, 199]) expect(u![i] ** 2).toBeCloseTo(25 + 0.25 * y[i], 9);
  });

  test('the detector is never full', () => {
    expect(record().saturated!.every((flag) => flag === 0)).toBe(true);
  });
});

describe('what is set', () => {
  test('amplitude, background, centre, visibility, span and points', () => {
    const setting = { ...pair, amplitude: 300, background: 7, centre: 1e-3, visibility: 0.5 };
    const { x, y } = slitProfile(steady(0), { ...setting, span: 4e-3, points: 5 });
    expect(Array.from(x)).toEqual([-2e-3, -1e-3, 0, 1e-3, 2e-3]);
    for (const [i, place] of x.entries())
      expect(y[i]).toBeCloseTo(7 + 300 * young(place - 1e-3, 0.5), 3);
  });

  test('background and reading go with the amplitude', () => {
    const { y, u } = slitProfile(steady(0), { ...pair, amplitude: 100, shotNoise: 0, points: 3 });
    expect(y[1]).toBeCloseTo(2 + 100 * young(0, 0.95), 4);
    expect(Array.from(u!)).toEqual([0.5, 0.5, 0.5]);
  });

  test('one slit needs no spacing', () => {
    const { y } = slitProfile(steady(0), { ...pair, count: 1, spacing: undefined, points: 3 });
    expect(y[1]).toBe(1020);
  });

  test('the noise of a point is its uncertainty times a normal deviate', () => {
    const clean = slitProfile(steady(0), pair);
    const noisy = slitProfile(steady(-1.5), pair);
    for (const i of [0, 100, 200])
      expect(noisy.y[i]).toBeCloseTo(clean.y[i] - 1.5 * clean.u![i], 9);
  });

  test('a signal below zero has the noise of reading alone', () => {
    const { u } = slitProfile(steady(0), { ...pair, background: -900, readNoise: 3 });
    expect(u![0]).toBe(3);
  });

  test('at the full count and above it, signals are cut there and marked', () => {
    const clean = slitProfile(steady(0), { ...pair, points: 5 });
    const full = clean.y[2];
    const cut = slitProfile(steady(0), { ...pair, points: 5, full });
    expect(Array.from(cut.saturated!)).toEqual([0, 0, 1, 0, 0]);
    expect(cut.y).toEqual(clean.y);
    const lower = slitProfile(steady(0), { ...pair, points: 5, full: full / 2 });
    expect(lower.y[2]).toBe(full / 2);
    expect(lower.y[1]).toBe(clean.y[1]);
  });
});

describe('a blur', () => {
  const dark = (wavelength * focalLength) / (2 * pair.spacing);
  /** Slits so narrow that only the fringes are seen. */
  const thin = { ...pair, width: 1e-9, background: 0, amplitude: 1, points: 3, span: 2 * dark };

  test('visibility is what is left of the fringes: bright less dark over their sum', () => {
    for (const blurShape of ['box', 'gaussian'] as const)
      for (const visibility of [0.3, 0.8, 0.99]) {
        const { y } = slitProfile(steady(0), { ...thin, visibility, blurShape });
        expect((y[1] - y[0]) / (y[1] + y[0])).toBeCloseTo(visibility, 5);
      }
  });

  test('given by its width: a box of half a fringe leaves 2/π, a whole one nothing', () => {
    const contrast = (blur: number) => {
      const { y } = slitProfile(steady(0), { ...thin, blur });
      return (y[1] - y[0]) / (y[1] + y[0]);
    };
    expect(contrast(dark)).toBeCloseTo(2 / Math.PI, 5);
    expect(contrast(2 * dark)).toBeCloseTo(0, 5);
    expect(contrast(0)).toBeCloseTo(1, 5);
  });

  test('one slit loses its dark places too: the mean of sinc² over a box', () => {
    const one = {
      ...pair,
      count: 1,
      background: 0,
      amplitude: 1,
      points: 3,
      blurShape: 'box' as const,
    };
    const zero = (wavelength * focalLength) / pair.width;
    const { y } = slitProfile(steady(0), { ...one, span: 2 * zero, blur: zero / 2 });
    // ∫ sin²(πt)/(πt)² dt from 0.75 to 1.25, by the middles of steps; s is x/f to 5e-5 here.
    let sum = 0;
    for (let k = 0; k < 1e5; k++) {
      const t = Math.PI * (0.75 + (0.5 * (k + 0.5)) / 1e5);
      sum += (Math.sin(t) / t) ** 2 / 1e5;
    }
    expect(y[0]).toBeCloseTo(sum, 4);
  });
});

describe('what cannot be', () => {
  test.each([
    [
      'more contrast than all',
      { visibility: 1.1 },
      /^visibility is 1\.1: give a number from 0 to 1/,
    ],
    ['a blur below 0', { blur: -1e-3 }, /^blur is -0\.001 m, but a width is 0 or more/],
    ['both blur and visibility', { blur: 1e-3, visibility: 0.9 }, /leave one of them out/],
    ['another shape', { blurShape: 'disc' as never }, /^blurShape is "disc": choose/],
    ['no slit', { count: 0 }, /^count must be/],
    ['one point', { points: 1 }, /^points must be/],
    ['slits of no width', { width: 0 }, /^The width must be greater than 0/],
    ['no wavelength', { wavelength: 0 }, /^The wavelength must be greater than 0/],
    ['no focal length', { focalLength: -1 }, /^The focal length must be greater than 0/],
    ['slits that touch', { spacing: pair.width }, /centre to centre it must be larger/],
    ['two slits without spacing', { spacing: undefined }, /^The spacing is undefined m/],
  ])('%s', (_, wrong, sentence) => {
    const setting = { ...pair, ...wrong };
    expect(() => slitProfile(steady(0), setting)).toThrow(RangeError);
    expect(() => slitProfile(steady(0), setting)).toThrow(sentence);
  });
});
