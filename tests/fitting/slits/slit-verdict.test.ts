import { inspect } from 'node:util';
import { describe, expect, test } from 'vitest';
import { curveCost } from '../../../kernel-lib/fitting/slits/curve-cost';
import { fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { seeded } from '../../../kernel-lib/numerics/random';
import { type BrutePattern, brutePattern } from './brute-pattern';

const geometry = { wavelength: 650e-9, focalLength: 2 };
const pair = {
  count: 2,
  width: 80e-6,
  spacing: 250e-6,
  centre: 0,
  visibility: 0.95,
  shape: 'box' as const,
};

/** Shares of full scale: pattern on a ground of 0.05, noise 0.01, each `together` points drawn as one. */
function record(made: Partial<BrutePattern> = {}, { seed = 1, together = 1, bend = 1 } = {}) {
  const x = Float64Array.from({ length: 600 }, (_, i) => (i - 300) * 1e-4);
  const random = seeded(`verdict ${seed}`);
  const noise = Float64Array.from({ length: 600 + together }, () => random.normal());
  const y = brutePattern(x, { ...pair, ...geometry, ...made }).map((share, i) => {
    let sum = 0;
    for (let k = 0; k < together; k++) sum += noise[i + k];
    return (0.05 + 0.8 * share) ** bend + (0.01 * sum) / Math.sqrt(together);
  });
  return { x, y, u: x.map(() => 0.01) };
}

test('a good record: trusted, checked by its fringes, and printed with units', () => {
  const fit = fitSlits(record(), geometry);
  expect(fit.trusted).toBe(true);
  expect(fit.sentence).toMatch(
    /^Trust it: the points follow the pattern of 2 slits, and a line through \d+ fringes gives the same spacing\.$/,
  );
  expect(fit.byHand?.of).toBe('spacing');
  expect(Math.abs(fit.byHand!.length.value / 250e-6 - 1)).toBeLessThan(0.03);
  for (const printed of [String(fit), inspect(fit)]) {
    expect(printed.startsWith(fit.sentence)).toBe(true);
    expect(printed).toMatch(/spacing: 2\d\d\.\d+\(\d+\) µm/);
    expect(printed).not.toMatch(/0\.000/);
    expect(printed).toMatch(/reduced χ²: [01]\.\d+ \(600 points, \d parameters\); converged/);
  }
  expect(Object.keys(fit).slice(0, 2)).toEqual(['trusted', 'sentence']);
});

test('noise without a pattern is told as such', () => {
  const { x, u } = record();
  const random = seeded('nothing');
  const y = x.map(() => 0.3 + 0.01 * random.normal());
  expect(() => fitSlits({ x, y, u }, geometry)).toThrow(/No pattern of slits stands out/);
});

test('a pattern that is none of slits is not trusted, and why is said', () => {
  const { x, u } = record();
  const y = x.map((at) => 0.1 + 0.5 * Math.abs(((at / 0.013) % 1) - 0.5) + (at > 0.01 ? 0.3 : 0));
  const fit = fitSlits({ x, y, u }, { ...geometry, count: 2 });
  expect(fit.trusted).toBe(false);
  expect(fit.sentence).toMatch(/^Do not trust it, because .*variation|^Do not trust it, because/);
});

test('a spacing that is given wrongly is caught by the fringes themselves', () => {
  const fit = fitSlits(record(), { ...geometry, count: 2, fixed: { spacing: 125e-6 } });
  expect(fit.trusted).toBe(false);
});

describe('uncertainties', () => {
  /** How many of 40 records have the spacing within 2u. */
  const covered = (together: number, u: number) => {
    let inside = 0;
    for (let seed = 0; seed < 40; seed++) {
      const made = record({}, { seed, together });
      const points = { ...made, u: made.u.map(() => u) };
      const fit = fitSlits(points, { ...geometry, count: 2, blur: 'box' });
      if (Math.abs(fit.spacing.value - 250e-6) < 2 * fit.spacing.u) inside++;
    }
    return inside;
  };
  // 95 % of 40 is 38; 32 or fewer come by chance once in a thousand.
  test('neighbours that share their noise: eight together', () => {
    expect(covered(8, 0.01)).toBeGreaterThan(32);
  });
  test('points that scatter three times as much as they say', () => {
    expect(covered(1, 0.0033)).toBeGreaterThan(32);
  });

  test('the scale of a picture is in all lengths', () => {
    const [plain, scaled] = [0, 0.02].map((uScale) =>
      fitSlits({ ...record(), uScale }, { ...geometry, count: 2 }),
    );
    for (const name of ['width', 'spacing'] as const) {
      const expected = Math.hypot(plain[name].u, 0.02 * plain[name].value);
      expect(scaled[name].u / expected).toBeCloseTo(1, 6);
      const at = scaled.names.indexOf(name);
      expect(Math.sqrt(scaled.covariance[at][at]) / expected).toBeCloseTo(1, 6);
    }
  });
});

describe("the camera's curve", () => {
  const bent = record({}, { bend: 0.8 });

  test('a free exponent is found, and the slits with it', () => {
    const fit = fitSlits(bent, { ...geometry, count: 2, exponent: 'free' });
    expect(Math.abs(fit.exponent.value - 0.8)).toBeLessThan(3 * fit.exponent.u);
    expect(fit.exponent.u).toBeLessThan(0.05);
    expect(Math.abs(fit.width.value - 80e-6)).toBeLessThan(3 * fit.width.u);
    expect(fit.names).toContain('exponent');
  });

  test('what a wrong one costs', () => {
    const fit = fitSlits(record(), { ...geometry, count: 2 });
    const [same, other] = curveCost(record(), fit, geometry, [1, 0.8]);
    expect(Math.abs(same.width)).toBeLessThan(1e-6);
    expect(other.reducedChiSquare).toBeGreaterThan(1.2 * fit.reducedChiSquare);
    expect(Math.abs(other.spacing)).toBeLessThan(0.02);
  });
});
