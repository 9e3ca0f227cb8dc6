import { describe, expect, test } from 'vitest';
import {
  bicOf,
  bicOfConstant,
  isCredible,
} from '../../../kernel-lib/fitting/slits/count-criterion';

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
    expect(bicOfConstant(y, weights)).toBeCloseTo(3 * Math.log(14 / 3) + Math.log(3), 12);
  });

  test('of a constant it is that of its fit by one parameter', () => {
    const y = Float64Array.of(1, 3, 5, 3);
    // Mean 3, squares 4 + 0 + 4 + 0.
    const fit = { chiSquare: 8, parameters: parameters(1) };
    expect(bicOfConstant(y, new Float64Array(4).fill(1))).toBeCloseTo(bicOf(fit, 4), 12);
  });
});

describe('fringes that can be believed', () => {
  const fringes = (value: number, u: number) =>
    isCredible({
      names: ['width', 'visibility'],
      parameters: [
        { value: 4e-5, u: 1e-6 },
        { value, u },
      ],
    });

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

  test('also where visibility is all that was found', () => {
    expect(isCredible({ names: ['visibility'], parameters: [{ value: 0.05, u: 0 }] })).toBe(false);
  });

  test('without fringes, or with known ones, there is nothing to doubt', () => {
    expect(isCredible({ names: ['width'], parameters: [{ value: 4e-5, u: 0 }] })).toBe(true);
  });
});
