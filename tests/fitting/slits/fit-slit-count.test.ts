import { describe, expect, test } from 'vitest';
import {
  fitCount,
  isCredible,
  type SlitProblem,
} from '../../../kernel-lib/fitting/slits/fit-slit-count';
import { bicOf, bicOfGround } from '../../../kernel-lib/fitting/slits/scatter';
import { type SlitParameter, slitParameters } from '../../../kernel-lib/fitting/slits/slit-model';
import { slitProfile } from '../../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../../kernel-lib/numerics/random';

const geometry = { wavelength: 500e-9, focalLength: 0.5 };
/** The blur is that of three slits 100 µm apart that leaves 9/10 of the fringes: a box of 0.2506 of a fringe of 2.5 mm. */
const truth: Record<SlitParameter, number> = {
  width: 40e-6,
  amplitude: 1000,
  background: 20,
  centre: 2e-4,
  spacing: 100e-6,
  visibility: 1,
  blur: 0.6e-3,
  slope: 0,
  exponent: 1,
  falloff: 0,
};
/** A little off, as a first guess is. */
const nearby: typeof truth = {
  width: 38e-6,
  amplitude: 950,
  background: 15,
  centre: 2.5e-4,
  spacing: 101e-6,
  visibility: 0.9,
  blur: 0.5e-3,
  slope: 0,
  exponent: 1,
  falloff: 0,
};
const noHints = (): never => {
  throw new Error('no hint is needed');
};
const hints = {
  centres: [1e-4, 2e-4],
  spacings: [70e-6, 99e-6],
  unresolved: [20e-6, 60e-6] as const,
  widths: [1e-5, 3e-4] as const,
};
const absent = ['visibility', 'slope', 'exponent', 'falloff'];
const usual = slitParameters.filter((name) => !absent.includes(name));

function problem(count: number, more: Partial<SlitProblem> = {}, setting = {}): SlitProblem {
  const noiseless = { ...seeded(1), normal: () => 0 };
  const { visibility: _, slope: __, exponent: ___, falloff: ____, ...pattern } = truth;
  const made = { ...pattern, ...geometry, points: 121, span: 15e-3, ...setting };
  const profile = slitProfile(noiseless, { ...made, count });
  const weights = profile.u!.map((u) => 1 / u);
  const shapes = ['box', 'gaussian'] as const;
  const settings = { absolute: true, geometry, shapes, sloping: false, bent: false, beam: false };
  const nothing = { fixed: {}, start: {}, hints: noHints, searching: false };
  return { profile, weights, ...settings, ...nothing, ...more };
}

function expectTruth(fit: ReturnType<typeof fitCount>, digits = 6) {
  for (const [j, name] of fit!.names.entries())
    expect(fit!.parameters[j].value / truth[name]).toBeCloseTo(1, digits);
}
const pick = (names: readonly SlitParameter[], from: typeof truth) =>
  Object.fromEntries(names.map((name) => [name, from[name]]));

describe('a full set of first guesses', () => {
  test.each([1, 2, 3, 5])('%i: the fit ends at the truth, and no hint is asked for', (count) => {
    const fit = fitCount(problem(count, { start: nearby }), count);
    expect(fit!.names).toEqual(usual.filter((name) => count > 1 || name !== 'spacing'));
    expect(fit!.converged).toBe(true);
    expectTruth(fit);
  });

  test('whatever is fixed is held, and the others are found, for each of the 64 choices', () => {
    for (let choice = 0; choice < 64; choice++) {
      const fixed = usual.filter((_, j) => choice & (1 << j));
      const fit = fitCount(problem(3, { start: nearby, fixed: pick(fixed, truth) }), 3);
      expect(fit!.names).toEqual(usual.filter((name) => !fixed.includes(name)));
      expect(fit!.chiSquare).toBeLessThan(1e-6);
      expectTruth(fit);
      // Three parameters tell how much of the fringes is left: sinc(π 0.6/2.5).
      expect(fit!.visibility.value).toBeCloseTo(Math.sin(0.24 * Math.PI) / (0.24 * Math.PI), 6);
    }
  });

  test('without a blur the contrast is a parameter; ground that slopes has one more', () => {
    const sharp = problem(3, { start: nearby, shapes: [] }, { blur: 0 });
    const fit = fitCount(sharp, 3);
    expect(fit!.names).toEqual(slitParameters.slice(0, 6));
    expectTruth(fit);
    expect(fit!.visibility).toEqual(fit!.parameters[5]);
    expect(fit!.shape).toBeUndefined();
    const level = problem(3, { start: nearby, sloping: true });
    const y = level.profile.y.map((v, i) => v + 5e3 * (level.profile.x[i] - truth.centre));
    const sloping = fitCount({ ...level, profile: { ...level.profile, y } }, 3);
    expect(sloping!.names).toEqual([...usual, 'slope']);
    expect(sloping!.parameters.at(-1)!.value).toBeCloseTo(5e3, 3);
    expect(sloping!.parameters[0].value / truth.width).toBeCloseTo(1, 6);
  });

  test.each(['box', 'gaussian'] as const)(
    'of both shapes of blur the true one is kept: %s',
    (blurShape) => {
      const fit = fitCount(problem(4, { start: nearby }, { blurShape }), 4);
      expect(fit!.shape).toBe(blurShape);
      expectTruth(fit);
    },
  );

  test('what is fixed at a wrong value stays there', () => {
    const fit = fitCount(problem(3, { start: nearby, fixed: { background: 30 } }), 3);
    expect(fit!.names).not.toContain('background');
    // At the dark places 20 counts were recorded, and 30 are said to be there: χ² tells.
    expect(fit!.chiSquare).toBeGreaterThan(50);
  });
});

describe('first guesses from hints', () => {
  test.each([1, 2, 3])('%i: the best of the candidates leads to the truth', (count) => {
    expectTruth(fitCount(problem(count, { hints: () => hints }), count));
  });

  test('without u, every point counts alike', () => {
    const { profile, ...rest } = problem(3, { hints: () => hints, absolute: false });
    const plain = { x: profile.x, y: profile.y };
    const weights = new Float64Array(121).fill(1);
    expectTruth(fitCount({ ...rest, profile: plain, weights }, 3));
  });

  test('what is known stands in for hints: centre and spacing, as a start or fixed', () => {
    const none = () => ({ ...hints, centres: [], spacings: [] });
    const known = { centre: 2.2e-4, spacing: 99.5e-6 };
    expectTruth(fitCount(problem(3, { hints: none, start: known }), 3));
    const fixed = pick(['centre', 'spacing'], truth);
    expectTruth(fitCount(problem(3, { hints: none, fixed }), 3));
    expectTruth(fitCount(problem(3, { hints: none, fixed, start: { width: 41e-6 } }), 3));
  });

  test('a known width is taken before all that are usual', () => {
    // Slits that are 3 % of their spacing: no usual guess is that narrow.
    const narrow = { width: 3e-6, span: 40e-3, points: 400 };
    const given = { hints: () => hints, fixed: { width: 3e-6 } };
    expectTruth(fitCount(problem(3, given, narrow), 3));
  });

  test('no candidate, no fit', () => {
    const none = () => ({ ...hints, centres: [] });
    expect(fitCount(problem(3, { hints: none }), 3)).toBeUndefined();
  });

  test('points that are said to be worthless lead nobody astray', () => {
    const good = problem(3, { hints: () => hints });
    const other = problem(2, {}, { spacing: 70e-6, amplitude: 9000, centre: 1e-4 });
    const bad = (i: number) => i % 2 === 1;
    const y = good.profile.y.map((v, i) => (bad(i) ? other.profile.y[i] : v));
    const u = good.profile.u!.map((v, i) => (bad(i) ? 1e7 : v));
    const profile = { x: good.profile.x, y, u };
    const weights = u.map((v) => 1 / v);
    expectTruth(fitCount({ ...good, profile, weights }, 3), 4);
  });
});

describe('what no slits can be', () => {
  test.each([
    ['wider than their spacing', { width: 90e-6, spacing: 80e-6 }, 'touching'],
    ['touching', { width: 80e-6, spacing: 80e-6 }, 'touching'],
    ['without width', { width: 0 }, 'dark'],
    ['of negative light', { amplitude: -5 }, 'dark'],
    ['without light', { amplitude: 0 }, 'dark'],
  ])('%s', (_, fixed, fault) => {
    const { visibility: __, ...all } = truth;
    expect(fitCount(problem(3, { fixed: { ...all, ...fixed } }), 3)!.fault).toBe(fault);
  });

  test('slits that can be have no fault', () => {
    expect(fitCount(problem(3, { start: nearby }), 3)!.fault).toBeUndefined();
  });

  test('one slit may be as wide as it likes', () => {
    const wide = { width: 300e-6, span: 8e-3 };
    const fit = fitCount(problem(1, { start: { ...nearby, width: 280e-6 } }, wide), 1);
    expect(fit!.parameters[0].value).toBeCloseTo(300e-6, 9);
  });

  test('two slits with a dark middle: contrast that is a parameter goes no further than to 0', () => {
    const { visibility, blur: _, ...fixed } = truth;
    const sharp = { start: { visibility }, fixed, shapes: [] };
    const { profile, ...rest } = problem(2, sharp, { blur: 0 });
    // A whole fringe of 2.5 mm as the blur, of slits without an envelope: no fringes left.
    const even = problem(2, {}, { blur: 2.5e-3 }).profile.y;
    const y = profile.y.map((v, i) => 2 * even[i] - v);
    const fit = fitCount({ ...rest, profile: { ...profile, y } }, 2);
    expect(fit!.parameters[0].value).toBe(0);
  });
});

test('uncertainties: as given, or from the scatter when none are', () => {
  const given = problem(3, { start: nearby, shapes: ['box'] });
  const random = seeded('scatter');
  const y = given.profile.y.map((v, i) => v + given.profile.u![i] * random.normal());
  const noisy = { ...given, profile: { ...given.profile, y } };
  const absolute = fitCount(noisy, 3);
  const scaled = fitCount({ ...noisy, absolute: false }, 3);
  const factor = Math.sqrt(absolute!.reducedChiSquare);
  expect(scaled!.parameters[4].u / absolute!.parameters[4].u).toBeCloseTo(factor, 6);
  // One hundred and fifteen degrees of freedom: 1 ± 0.13, three standard deviations.
  expect(Math.abs(absolute!.reducedChiSquare - 1)).toBeLessThan(0.4);
});

const six = Array.from({ length: 6 }, () => ({ value: 1, u: 0 }));

describe('Bayesian information criterion', () => {
  test('n ln(χ²/n) + k ln n', () => {
    // 100 points, χ² = 100 e: 100; six parameters: 6 ln 100 = 27.631.
    const fit = { chiSquare: 100 * Math.E, parameters: six };
    expect(bicOf(fit, 100)).toBeCloseTo(127.631, 3);
  });

  test('of a constant: scatter about the weighted mean, one parameter', () => {
    // Weights 4, 1, 1 in squares: mean of 2, 4, 6 is 3; χ² = 4 + 1 + 9 = 14.
    const [y, weights] = [Float64Array.of(2, 4, 6), Float64Array.of(2, 1, 1)];
    const profile = { x: Float64Array.of(0, 1, 2), y };
    expect(bicOfGround(profile, weights, false)).toBeCloseTo(
      3 * Math.log(14 / 3) + Math.log(3),
      12,
    );
  });

  test('of a straight line, where the ground may slope: two parameters', () => {
    // Through 1, 2, 3, 5 at 0, 1, 2, 3: slope 1.3, intercept 0.8, rest 0.2, −0.1, −0.4, 0.3: squares 0.3.
    const profile = { x: Float64Array.of(0, 1, 2, 3), y: Float64Array.of(1, 2, 3, 5) };
    const one = new Float64Array(4).fill(1);
    expect(bicOfGround(profile, one, true)).toBeCloseTo(4 * Math.log(0.3 / 4) + 2 * Math.log(4), 9);
  });
});

describe('fringes that can be believed', () => {
  const fringes = (value: number, u: number) =>
    isCredible({ visibility: { value, u }, names: [], parameters: [] });

  test.each([
    [0.1, 0.01, true],
    [0.099, 0.01, false],
    [1, 0, true],
    [1.1, 0.02, true],
    [1.11, 0.02, false],
    [1.3, 0.1, true],
    [1.31, 0.1, false],
  ])('visibility %d with uncertainty %d: %s', (value, u, credible) => {
    expect(fringes(value, u)).toBe(credible);
  });

  test.each([
    [0.3, 0.1, true],
    [-0.05, 0.03, true],
    [-0.07, 0.03, false],
    [1.5, 0.1, false],
  ])('a falloff of %d with uncertainty %d: %s', (value, u, credible) => {
    const fit = { visibility: { value: 1, u: 0 }, names: ['falloff'], parameters: [{ value, u }] };
    expect(isCredible(fit as Parameters<typeof isCredible>[0])).toBe(credible);
  });
});
