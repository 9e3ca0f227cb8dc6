import { describe, expect, test } from 'vitest';
import { slits } from '../../../kernel-lib/aperture/aperture';
import { intensity } from '../../../kernel-lib/aperture/intensity';
import type { Profile } from '../../../kernel-lib/fitting/profile';
import { fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { SineCosine, SlitModel } from '../../../kernel-lib/fitting/slits/slit-model';

import { slitProfile } from '../../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../../kernel-lib/numerics/random';

const wavelength = 546.1e-9;
const focalLength = 0.5;
const geometry = { wavelength, focalLength };
const three = { count: 3, width: 40e-6, spacing: 100e-6, ...geometry };

describe('the model', () => {
  test('at full visibility it is the far field of the aperture', () => {
    const x = Float64Array.from({ length: 301 }, (_, i) => (i - 150) * 1e-4);
    for (const count of [1, 2, 3, 5, 12]) {
      const model = new SlitModel(x, count, geometry);
      const y = new Float64Array(x.length);
      const all = [40e-6, 7, 0.5, 0, 100e-6, 1];
      model.evaluate(all, new Float64Array(x.length).fill(1), y);
      const aperture = slits(count, { width: 40e-6, spacing: 100e-6 });
      for (const [i, position] of x.entries()) {
        const s = Math.sin(Math.atan(position / focalLength));
        expect(y[i]).toBeCloseTo(0.5 + 7 * intensity(aperture, wavelength, s), 9);
      }
    }
  });

  test('two slits: the fringes have the visibility of the model', () => {
    // Slits so narrow that the envelope does not matter at the first dark fringe.
    const x = Float64Array.of(0, (wavelength * focalLength) / (2 * 100e-6));
    const y = new Float64Array(2);
    new SlitModel(x, 2, geometry).evaluate([1e-9, 1, 0, 0, 100e-6, 0.7], Float64Array.of(1, 1), y);
    expect((y[0] - y[1]) / (y[0] + y[1])).toBeCloseTo(0.7, 5);
  });

  test('its derivatives are its derivatives', () => {
    const x = Float64Array.from({ length: 41 }, (_, i) => (i - 20) * 3e-4);
    const one = new Float64Array(41).fill(1);
    for (const g of [geometry, { wavelength: 1e-4 }]) {
      const model = new SlitModel(x, 4, g);
      const p = [40e-6, 7, 0.5, 1e-4, 100e-6, 0.8];
      const columns = p.map(() => new Float64Array(41));
      const [y, a, b] = [0, 1, 2].map(() => new Float64Array(41));
      model.evaluate(p, one, y, columns);
      for (const [j, value] of p.entries()) {
        const h = 1e-5 * value;
        model.evaluate(
          p.map((v, k) => (k === j ? v + h : v)),
          one,
          a,
        );
        model.evaluate(
          p.map((v, k) => (k === j ? v - h : v)),
          one,
          b,
        );
        for (let i = 0; i < 41; i++) {
          expect(Math.abs(columns[j][i] * h * 2 - (a[i] - b[i]))).toBeLessThan(1e-9);
        }
      }
    }
  });

  test('sine and cosine together are right to 2e-16', () => {
    const turn = new SineCosine();
    const random = seeded('turn');
    let worst = 0;
    for (let k = 0; k < 20_000; k++) {
      const angle = (random.uniform() - 0.5) * 10 ** (random.uniform() * 9 - 2);
      turn.set(angle);
      worst = Math.max(worst, Math.abs(turn.sine - Math.sin(angle)));
      worst = Math.max(worst, Math.abs(turn.cosine - Math.cos(angle)));
    }
    expect(worst).toBeLessThan(2.3e-16);
  });
});

describe('slits come back from their noisy pattern', () => {
  test.each([1, 2, 3, 4, 5, 6])(
    '%i: count, width, spacing, centre, visibility, without a start',
    (count) => {
      const made = { ...three, count, centre: 3e-4, visibility: 0.9, points: 600 };
      const fit = fitSlits(slitProfile(seeded(`slits ${count}`), made), geometry);
      expect(fit.count).toBe(count);
      expect(fit.converged).toBe(true);
      const near = (value: { value: number; u: number }, truth: number) =>
        expect(Math.abs(value.value - truth) / value.u).toBeLessThan(4);
      near(fit.width, 40e-6);
      near(fit.centre, 3e-4);
      near(fit.amplitude, 1000);
      near(fit.background, 20);
      if (count > 1) {
        near(fit.spacing, 100e-6);
        near(fit.visibility, 0.9);
      } else expect(fit.spacing.value).toBeNaN();
      expect(fit.reducedChiSquare).toBeGreaterThan(0.8);
      expect(fit.reducedChiSquare).toBeLessThan(1.2);
      const least = fit.tried
        .filter(({ credible }) => credible)
        .reduce((a, b) => (b.bic < a.bic ? b : a));
      expect(least.count).toBe(count);
    },
  );

  test('500 seeds: within 1 u in about 68 %, within 2 u in about 95 %', () => {
    const hits = { width: [0, 0], spacing: [0, 0], visibility: [0, 0], centre: [0, 0] };
    const truth = { width: 40e-6, spacing: 100e-6, visibility: 0.9, centre: 1e-4 };
    const start = {
      width: 38e-6,
      spacing: 101e-6,
      visibility: 0.8,
      centre: 0,
      amplitude: 900,
      background: 10,
    };
    for (let k = 0; k < 500; k++) {
      const made = slitProfile(seeded(`cover ${k}`), {
        ...three,
        visibility: 0.9,
        centre: 1e-4,
        points: 200,
      });
      const fit = fitSlits(made, { ...geometry, count: 3, start });
      for (const name of Object.keys(hits) as (keyof typeof hits)[]) {
        const off = Math.abs(fit[name].value - truth[name]) / fit[name].u;
        if (off < 1) hits[name][0]++;
        if (off < 2) hits[name][1]++;
      }
    }
    // Binomial: 341 ± 10.4 and 477 ± 4.7 of 500; three standard deviations.
    for (const [one, two] of Object.values(hits)) {
      expect(Math.abs(one - 341.3)).toBeLessThan(32);
      expect(Math.abs(two - 477.2)).toBeLessThan(15);
    }
  });

  test('one slit stays one, also where only the scatter tells the uncertainty and noise grows with the signal', () => {
    for (let k = 0; k < 16; k++) {
      const setting = { ...three, count: 1, width: 100e-6, span: 9e-3 + k * 2e-3, points: 300 };
      const { x, y } = slitProfile(seeded(`one ${k}`), setting);
      expect(fitSlits({ x, y }, { ...geometry, maxCount: 3 }).count).toBe(1);
    }
  });

  test('a saturated middle is left out and nothing is lost', () => {
    const made = slitProfile(seeded('full'), { ...three, full: 500, points: 600 });
    expect(made.saturated!.some((flag) => flag === 1)).toBe(true);
    const fit = fitSlits(made, geometry);
    expect(fit.count).toBe(3);
    expect(fit.used).toBe(600 - made.saturated!.reduce((a, b) => a + b, 0));
    expect(fit.residuals).toHaveLength(fit.used);
    expect(Math.abs(fit.width.value - 40e-6) / fit.width.u).toBeLessThan(4);
    expect(Math.abs(fit.amplitude.value - 1000) / fit.amplitude.u).toBeLessThan(4);
  });

  test('against the direction sine, without u, and with a parameter held', () => {
    const made = slitProfile(seeded('sine'), {
      ...three,
      visibility: 1,
      readNoise: 5,
      shotNoise: 0,
    });
    const s = made.x.map((x) => Math.sin(Math.atan(x / focalLength)));
    const fit = fitSlits({ x: s, y: made.y }, { wavelength, count: 3, fixed: { visibility: 1 } });
    expect(Math.abs(fit.spacing.value - 100e-6) / fit.spacing.u).toBeLessThan(4);
    expect(fit.names).not.toContain('visibility');
    expect(fit.visibility).toEqual({ value: 1, u: 0 });
    // The scatter is found from the residuals: 5 counts.
    expect(Math.sqrt(fit.reducedChiSquare)).toBeCloseTo(5, 0);
  });
});

describe('what cannot be fitted', () => {
  const profile = (y: number[], more: Partial<Profile> = {}): Profile => ({
    x: Float64Array.from(y, (_, i) => i * 1e-4),
    y: Float64Array.from(y),
    ...more,
  });
  const flat = Array(50).fill(3);
  const bumpy = flat.map((_, i) => Math.sin(i / 3) ** 2);
  test.each([
    ['a constant profile', profile(flat), /profile is constant \(3 at all 50 points/],
    [
      'all saturated',
      profile(bumpy, { saturated: new Uint8Array(50).fill(1) }),
      /All 50 points of the profile are saturated/,
    ],
    ['NaN', profile(bumpy.map((v, i) => (i === 7 ? Number.NaN : v))), /Point 7 of the profile/],
    ['too few points', profile([1, 2, 1]), /3 points cannot fix 5 parameters/],
    [
      'weights of the wrong length',
      profile(bumpy, { u: new Float64Array(3) }),
      /u has 3 values for 50 positions/,
    ],
    [
      'positions that do not ascend',
      { x: Float64Array.of(0, 1, 1), y: Float64Array.of(1, 2, 3) },
      /x\[2\] = 1 follows 1/,
    ],
  ])('%s', (_, bad, sentence) => {
    expect(() => fitSlits(bad, geometry)).toThrow(RangeError);
    expect(() => fitSlits(bad, geometry)).toThrow(sentence);
  });

  test('nothing but noise', () => {
    const random = seeded('noise');
    const noise = Array.from({ length: 300 }, () => random.normal());
    expect(() => fitSlits(profile(noise), { ...geometry, count: 3 })).toThrow(
      /stands out of the noise/,
    );
  });

  test('options that cannot be', () => {
    const good = slitProfile(seeded(1), three);
    expect(() => fitSlits(good, { wavelength: 0 })).toThrow(/wavelength must be greater than 0/);
    expect(() => fitSlits(good, { wavelength, focalLength: -1 })).toThrow(/focal length/);
    expect(() => fitSlits(good, { ...geometry, count: 1.5 })).toThrow(/count/);
    expect(() => fitSlits(good, { ...geometry, fixed: { colour: 1 } as never })).toThrow(
      /"colour" cannot be fixed/,
    );
  });
});

describe('profiles for students', () => {
  test('the same seed, the same profile; its noise is the documented one', () => {
    const setting = { ...three, points: 20_000, readNoise: 4, shotNoise: 0.5 };
    const made = slitProfile(seeded('a'), setting);
    expect(slitProfile(seeded('a'), setting)).toEqual(made);
    const clean = slitProfile(seeded('a'), { ...setting, readNoise: 0, shotNoise: 0 });
    let sum = 0;
    for (let i = 0; i < made.y.length; i++) {
      expect(made.u![i]).toBeCloseTo(Math.sqrt(16 + 0.25 * clean.y[i]), 9);
      sum += ((made.y[i] - clean.y[i]) / made.u![i]) ** 2;
    }
    // χ² of 20 000 deviates: 20 000 ± 200, three standard deviations.
    expect(Math.abs(sum - 20_000)).toBeLessThan(600);
  });
  test('slits that overlap are refused', () => {
    expect(() => slitProfile(seeded(1), { ...three, spacing: 30e-6 })).toThrow(
      /larger than the width/,
    );
  });
});
