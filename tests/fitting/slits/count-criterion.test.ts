import { describe, expect, test } from 'vitest';
import { bicOf, bicOfGround, isCredible } from '../../../kernel-lib/fitting/slits/fit-slit-count';

const parameters = (count: number) => Array.from({ length: count }, () => ({ value: 1, u: 0 }));

describe('Bayesian information criterion', () => {
  test('n ln(χ²/n) + k ln n', () => {
    // 100 points, χ² = 100 e: 100; six parameters: 6 ln 100 = 27.631.
    const fit = { chiSquare: 100 * Math.E, parameters: parameters(6) };
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
  const fringes = (value: number, u: number) => isCredible({ visibility: { value, u } });

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
});
