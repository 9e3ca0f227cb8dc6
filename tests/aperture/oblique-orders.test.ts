import { describe, expect, test } from 'vitest';
import { angularDispersion, halfWidth } from '../../kernel-lib/aperture/orders';

// sin θ = mλ/d + sin θi with λ/d = 1/4 and sin θi = ±1/2.
const [wavelength, spacing] = [500e-9, 2e-6];
const incidence = Math.asin(0.5);

describe('orders at oblique incidence', () => {
  test.each([
    [1, 0.75],
    [-1, 0.25],
    [-2, 0],
    [-4, -0.5],
    [-5, -0.75],
  ])(
    'order %d leaves with sin θ = %d: dispersion m/(d cos θ), half-width λ/(N d cos θ)',
    (m, sine) => {
      const cos = Math.sqrt(1 - sine * sine);
      const slope = angularDispersion(m, wavelength, spacing, incidence);
      expect(slope * spacing).toBeCloseTo(m / cos, 9);
      expect(angularDispersion(-m, wavelength, spacing, -incidence)).toBeCloseTo(-slope, 3);
      const width = halfWidth(m, 40, wavelength, spacing, incidence);
      expect(width).toBeCloseTo(0.25 / (40 * cos), 12);
    },
  );

  test('some orders exist on one side only, and it is said which do not', () => {
    for (const m of [3, 4, -7])
      expect(() => angularDispersion(m, wavelength, spacing, incidence)).toThrow(
        new RegExp(`^Order ${m} does not exist: sin θ = mλ/d \\+ sin θi would be ${m / 4 + 0.5}`),
      );
    for (const m of [-3, -4, 7])
      expect(() => halfWidth(m, 40, wavelength, spacing, -incidence)).toThrow(
        new RegExp(`^Order ${m} does not exist: sin θ = mλ/d \\+ sin θi would be ${m / 4 - 0.5}`),
      );
  });

  test('an order along the grating exists, without a limit to its dispersion', () => {
    for (const [m, from] of [
      [2, incidence],
      [-2, -incidence],
      [4, 0],
    ]) {
      const sentence = new RegExp(`^Order ${m} leaves along the grating`);
      expect(() => angularDispersion(m, wavelength, spacing, from)).toThrow(sentence);
      expect(() => halfWidth(m, 40, wavelength, spacing, from)).toThrow(sentence);
    }
  });
});
