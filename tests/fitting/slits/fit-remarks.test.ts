import { describe, expect, test } from 'vitest';
import { remarksOn, sayOthers } from '../../../kernel-lib/fitting/slits/fit-remarks';
import { fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { seeded } from '../../../kernel-lib/numerics/random';
import { type BrutePattern, brutePattern } from './brute-pattern';

const geometry = { wavelength: 546.1e-9, focalLength: 0.5 };
const width = 40e-6;
const span = (2.4 * geometry.wavelength * geometry.focalLength) / width;
const grid = (points: number) =>
  Float64Array.from({ length: points }, (_, i) => span * (i / (points - 1) - 0.5));

/** Three slits, 1000 counts, normal noise of 5 counts and of half the root of the signal; `ground` is added to it. */
function record(
  made: Partial<BrutePattern>,
  ground: (x: number) => number = () => 20,
  points = 400,
) {
  const x = grid(points);
  const three = { count: 3, spacing: 100e-6, centre: 1e-4, visibility: 0.9, shape: 'box' as const };
  const share = brutePattern(x, { ...three, width, ...geometry, ...made });
  const random = seeded(JSON.stringify(made));
  const clean = x.map((place, i) => ground(place) + 1000 * share[i]);
  const u = clean.map((count) => Math.sqrt(25 + 0.25 * Math.max(count, 0)));
  return { x, u, y: clean.map((count, i) => count + u[i] * random.normal()) };
}

test('points that were computed without noise leave nothing to remark', () => {
  const x = grid(400);
  const three = { count: 3, spacing: 100e-6, centre: 0, visibility: 0.9, shape: 'box' as const };
  const y = brutePattern(x, { ...three, width, ...geometry });
  const u = y.map(() => 0.01);
  for (const profile of [
    { x, y },
    { x, y, u },
  ])
    expect(fitSlits(profile, { ...geometry, count: 3 }).remarks).toEqual([]);
});

test('where the model holds there is nothing to remark', () => {
  expect(fitSlits(record({}), geometry).remarks).toEqual([]);
});

describe('ground that slopes by 5 % of the peak', () => {
  const sloping = record({}, (x) => 45 + (50 * x) / span);

  test('taken for level, it makes the residuals drift, and the result says so', () => {
    const { remarks } = fitSlits(sloping, { ...geometry, count: 3 });
    expect(remarks.join(' ')).toMatch(/residuals drift.*background: 'sloping'/);
    expect(remarks.join(' ')).toMatch(/χ²/);
  });

  test('told to slope, it leaves the slits right, and nothing to remark', () => {
    const fit = fitSlits(sloping, { ...geometry, background: 'sloping' });
    expect(fit.count).toBe(3);
    expect(fit.names).toContain('slope');
    for (const [found, truth] of [
      [fit.width, width],
      [fit.spacing, 100e-6],
      [fit.slope, 50 / span],
      // At the middle of the pattern, 0.1 mm from that of the record.
      [fit.background, 45 + (50 * 1e-4) / span],
    ] as const)
      expect(Math.abs(found.value - truth) / found.u).toBeLessThan(3);
    expect(fit.remarks).toEqual([]);
  });

  test('without uncertainties the drift is seen all the same', () => {
    const { x, y } = sloping;
    expect(fitSlits({ x, y }, { ...geometry, count: 3 }).remarks.join(' ')).toMatch(/drift/);
    expect(fitSlits({ x, y }, { ...geometry, background: 'sloping' }).remarks).toEqual([]);
  });

  test('a steep slope, as high as half of the peak, is found too', () => {
    const steep = record({}, (x) => 300 + (500 * x) / span);
    const fit = fitSlits(steep, { ...geometry, background: 'sloping' });
    expect(fit.count).toBe(3);
    expect(Math.abs(fit.spacing.value - 100e-6) / fit.spacing.u).toBeLessThan(3);
    expect(Math.abs(fit.slope.value - 500 / span) / fit.slope.u).toBeLessThan(3);
  });

  test('a slope that is known is held', () => {
    const fit = fitSlits(sloping, { ...geometry, count: 3, fixed: { slope: 50 / span } });
    expect(fit.slope).toEqual({ value: 50 / span, u: 0 });
    expect(fit.remarks).toEqual([]);
  });
});

describe('how many slits', () => {
  const ten = record({ count: 10, width: 20e-6, spacing: 60e-6 }, () => 20, 1200);

  test('the search goes on until more slits explain less: ten are found', () => {
    const fit = fitSlits(ten, geometry);
    expect(fit.count).toBe(10);
    expect(fit.tried.at(-1)!.count).toBe(12);
    expect(Math.abs(fit.spacing.value - 60e-6) / fit.spacing.u).toBeLessThan(3);
    expect(fit.remarks).toEqual([]);
  });

  test('one that was made to end at eight says that there may be more', () => {
    const fit = fitSlits(ten, { ...geometry, maxCount: 8 });
    expect(fit.count).toBe(8);
    expect(fit.remarks.join(' ')).toMatch(/8 slits fit best, .* largest count that was tried/);
    expect(fit.remarks.join(' ')).toMatch(/χ²/);
  });

  test('five behind a wide normal blur: 4 and 6 leave χ² only 3 to 5 larger, and it is said that they are possible', () => {
    for (let k = 0; k < 8; k++) {
      // Places that differ by nothing but give each record its own noise.
      const five = {
        count: 5,
        visibility: 0.6,
        shape: 'gaussian' as const,
        centre: 1e-4 + k * 1e-9,
      };
      const fit = fitSlits(record(five), geometry);
      const [possible] = fit.remarks.filter((remark) => remark.includes('fit nearly as well as'));
      expect(possible).toMatch(
        /^\d(, \d| or \d)* slits fit nearly as well as \d: .*lost in blur and/,
      );
      expect([String(fit.count), ...possible.split(' slits')[0].split(/, | or /)]).toContain('5');
      expect(fit.remarks).toHaveLength(1);
    }
  });

  test('a wrong count that was given: the residuals drift', () => {
    const { remarks } = fitSlits(record({}), { ...geometry, count: 4 });
    expect(remarks.join(' ')).toMatch(/residuals drift/);
  });
});

describe('slits that touch', () => {
  // sin²(2u)/(2 sin u)² sin²u/u² = sin²(2u)/(2u)²: two of 40 µm that touch are one of 80 µm.
  const one = record({ count: 1, width: 80e-6, visibility: 1 });

  test('are called so, not noise, when the count is given', () => {
    const fit = fitSlits(one, { ...geometry, count: 2, fixed: { visibility: 1 } });
    expect(Math.abs(fit.width.value - 40e-6) / fit.width.u).toBeLessThan(4);
    // Slits as wide as 0.97 of their spacing are one: 3 % of dark between them is seen by no pattern of this size.
    const touch = fit.width.value >= 0.97 * fit.spacing.value;
    expect(fit.remarks.some((remark) => /touch or overlap/.test(remark))).toBe(touch);
  });

  test('held as touching they are named with both lengths', () => {
    const fixed = { visibility: 1, width: 40e-6, spacing: 40e-6 };
    const { remarks } = fitSlits(one, { ...geometry, count: 2, fixed });
    expect(remarks).toHaveLength(1);
    expect(remarks[0]).toMatch(/^The 2 slits touch or overlap: .*40 µm wide, 40 µm from/);
    expect(remarks[0]).toMatch(/one slit, 2 times as wide: try count: 1/);
  });

  test('where the count is free they are one slit', () => {
    expect(fitSlits(one, geometry).count).toBe(1);
  });
});

describe('other reasons', () => {
  test('uncertainties that are half of what they should be', () => {
    const { x, y, u } = record({});
    const { remarks } = fitSlits({ x, y, u: u.map((one) => one / 2) }, { ...geometry, count: 3 });
    expect(remarks).toHaveLength(1);
    expect(remarks[0]).toMatch(
      /scatter more than their uncertainties say \(reduced χ² [34]\.\d\d\)/,
    );
  });

  test('fringes that are held at no contrast tell no spacing: the fit says that it did not converge', () => {
    const fixed = { visibility: 0 };
    const fit = fitSlits(record({}), { ...geometry, count: 2, fixed, start: { spacing: 1e-4 } });
    expect(fit.converged).toBe(false);
    expect(fit.remarks[0]).toMatch(
      /^The fit has not converged, .*do not determine every parameter/,
    );
  });

  test('a negative, dark where slits are bright, is called inverted', () => {
    const { x, y, u } = record({});
    const inverted = { x, u, y: y.map((count) => 1100 - count) };
    const fixed = { width, spacing: 100e-6, centre: 1e-4, blur: 0 };
    expect(() =>
      fitSlits(inverted, {
        ...geometry,
        count: 3,
        fixed,
        start: { amplitude: 500, background: 500 },
      }),
    ).toThrow(/inverted, as a negative is/);
  });
});

describe('the measure of drift', () => {
  /** n residuals that follow a rule, of a fit that says nothing else. */
  const remarks = (residuals: Float64Array, weights = residuals.map(() => 1)) =>
    remarksOn(
      {
        ...{ count: 1, width: { value: 1, u: 0 }, spacing: { value: 1, u: 0 }, parameters: [] },
        ...{ covariance: [], absolute: true, converged: true, message: '', chiSquare: 1 },
        ...{ degreesOfFreedom: 99, reducedChiSquare: 1, residuals, iterations: 1 },
      },
      undefined,
      { weights, sloping: false, noisy: true, endOfSearch: false, alsoPossible: [] },
    );

  test('R = Σ r r′ / Σ r²: signs in blocks of k give 1 − 2/k', () => {
    // 400 values, R √n = 20 R: blocks of 3 give 0.33 (6.6 deviations), of 2 about 0.
    const blocks = (k: number) =>
      Float64Array.from({ length: 400 }, (_, i) => (Math.floor(i / k) % 2 ? 1 : -1));
    expect(remarks(blocks(2))).toEqual([]);
    expect(remarks(blocks(3))[0]).toMatch(/correlation 0\.33, by chance within ±0\.10/);
    expect(remarks(blocks(1))).toEqual([]);
  });

  test('residuals count in their own uncertainties', () => {
    // The second half drifts, but each of it is a thousandth of its uncertainty.
    const residuals = Float64Array.from({ length: 400 }, (_, i) =>
      i < 200 ? (i % 2 ? 1 : -1) : 1,
    );
    const weights = residuals.map((_, i) => (i < 200 ? 1 : 1e-3));
    expect(remarks(residuals, weights)).toEqual([]);
    expect(remarks(residuals.map((r, i) => (i < 200 ? r * 1e-3 : r)))[0]).toMatch(/drift/);
  });
});

test.each([
  [[1], '1 slit fits'],
  [[3], '3 slits fit'],
  [[1, 2], '1 or 2 slits fit'],
  [[2, 3, 4], '2, 3 or 4 slits fit'],
])('counts %j are told as people say them: %s', (counts, words) => {
  expect(sayOthers(counts)).toBe(words);
});
