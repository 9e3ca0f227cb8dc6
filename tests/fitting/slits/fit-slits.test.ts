import { describe, expect, test } from 'vitest';
import { slits } from '../../../kernel-lib/aperture/aperture';
import { intensity } from '../../../kernel-lib/aperture/intensity';
import type { Profile } from '../../../kernel-lib/fitting/profile';
import { fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { fittedCurve } from '../../../kernel-lib/fitting/slits/slit-model';
import { slitProfile } from '../../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../../kernel-lib/numerics/random';

const wavelength = 546.1e-9;
const focalLength = 0.5;
const geometry = { wavelength, focalLength };
const three = { count: 3, width: 40e-6, spacing: 100e-6, ...geometry };

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

  test('200 seeds: within 1 u in about 68 %, within 2 u in about 95 %', () => {
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
    for (let k = 0; k < 200; k++) {
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
    // Binomial: 136.5 ± 6.6 and 190.9 ± 2.9 of 200; three standard deviations.
    for (const [one, two] of Object.values(hits)) {
      expect(Math.abs(one - 136.5)).toBeLessThan(20);
      expect(Math.abs(two - 190.9)).toBeLessThan(9);
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
    ['too few points', profile([1, 2, 1]), /3 points cannot fix 5 parameters/],
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
});

describe('the curve that was found', () => {
  test('the residuals of a fit are the points less the curve', () => {
    const profile = slitProfile(seeded(1), {
      ...{ count: 3, width: 40e-6, spacing: 100e-6, points: 200 },
      ...geometry,
    });
    const fit = fitSlits(profile, { ...geometry, count: 3 });
    const curve = fittedCurve(fit, geometry);
    profile.x.forEach((x, i) => {
      expect(profile.y[i] - curve(x)).toBeCloseTo(fit.residuals[i], 6);
    });
  });

  test.each([1, 2, 4])('of %i slits at full visibility it is the far field', (count) => {
    const measures = { width: 40e-6, spacing: 100e-6 };
    const profile = slitProfile(seeded(2), {
      ...{ count, visibility: 1, amplitude: 1, background: 0.1, points: 300 },
      ...{ readNoise: 1e-9, shotNoise: 0 },
      ...measures,
      ...geometry,
    });
    const curve = fittedCurve(fitSlits(profile, { ...geometry, count }), geometry);
    for (const x of [0, 0.0007, 0.0021, -0.0055]) {
      const s = Math.sin(Math.atan(x / 0.5));
      expect(curve(x)).toBeCloseTo(0.1 + intensity(slits(count, measures), wavelength, s), 5);
    }
  });

  test('a wavelength or a focal length that is none is refused; without the latter, positions are direction sines', () => {
    const sines = { wavelength };
    const pair = slits(2, { width: 4e-5, spacing: 1e-4 });
    const x = Float64Array.from({ length: 200 }, (_, i) => (i - 99.5) * 2e-4);
    const profile = { x, y: x.map((sine) => 1 + 10 * intensity(pair, wavelength, sine)) };
    const fit = fitSlits(profile, { ...sines, count: 2 });
    expect(() => fittedCurve(fit, { wavelength: 0 })).toThrow(/wavelength/);
    expect(() => fittedCurve(fit, { ...sines, focalLength: 0 })).toThrow(/focal length/);
    const curve = fittedCurve(fit, sines);
    const { centre, background, amplitude } = fit;
    expect(curve(centre.value)).toBeCloseTo(background.value + amplitude.value, 9);
    profile.x.forEach((s, i) => {
      expect(profile.y[i] - curve(s)).toBeCloseTo(fit.residuals[i], 6);
    });
  });
});
