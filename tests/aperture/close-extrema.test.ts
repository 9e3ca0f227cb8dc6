import { describe, expect, test } from 'vitest';
import { type Complex, slitsAt } from '../../kernel-lib/aperture/aperture';
import { generalExtrema } from '../../kernel-lib/aperture/general-extrema';

/**
 * Slits much narrower than their spacing 1, with transmissions that are the same to the left and to the right:
 * F = t₀ + 2 t₁ cos φ + 2 t₂ cos 2φ + …, φ = 2πu, a polynomial in cos φ whose extrema are worked out by hand.
 */
function symmetric(transmissions: readonly (number | Complex)[]) {
  const [middle, ...others] = transmissions;
  const sides = others.flatMap((transmission, i) =>
    [-1, 1].map((side) => ({ centre: side * (i + 1), width: 1e-6, transmission })),
  );
  return slitsAt([{ centre: 0, width: 1e-6, transmission: middle }, ...sides]);
}

/** One turn of φ, without its ends: there the pattern is as high, or as low, as at the middle of the next one. */
function oneTurn(transmissions: readonly (number | Complex)[], from = -0.05, to = 0.95) {
  const { minima, maxima } = generalExtrema(symmetric(transmissions), from, to);
  const inside = ({ u }: { u: number }) => u > from && u < to;
  return { minima: minima.filter(inside), maxima: maxima.filter(inside) };
}

const turns = (cos: number) => Math.acos(cos) / (2 * Math.PI);
const places = (list: readonly { u: number }[]) => list.map(({ u }) => u);
const near = (list: readonly number[], digits: number) =>
  list.map((value) => expect.closeTo(value, digits));

describe('a middle slit against two fainter ones: F = 1 + 2t cos φ', () => {
  // Dark at cos φ = −1/2t; between the two dark points the light comes back to (2t − 1)².
  test.each([0.9, 0.6, 0.51, 0.501, 0.5001, 0.50001])('t = %d: two dark points a turn', (t) => {
    const { minima, maxima } = oneTurn([1, t]);
    const dark = turns(-1 / (2 * t));
    expect(places(minima)).toEqual(near([dark, 1 - dark], 8));
    expect(places(maxima)).toEqual(near([0, 0.5], 8));
    const ahead = (1 + 2 * t) ** 2;
    expect(maxima[0].intensity).toBe(1);
    expect(maxima[1].intensity).toBeCloseTo((2 * t - 1) ** 2 / ahead, 12);
    for (const { intensity } of minima) expect(intensity).toBeLessThan(1e-18);
  });

  test.each([0.2, 0.4, 0.49, 0.499])('t = %d: one minimum, not dark', (t) => {
    const { minima, maxima } = oneTurn([1, t]);
    expect(places(minima)).toEqual(near([0.5], 8));
    expect(minima[0].intensity).toBeCloseTo(((1 - 2 * t) / (1 + 2 * t)) ** 2, 12);
    expect(places(maxima)).toEqual(near([0], 8));
  });

  // A plate: |F|² = |exp iψ + 2t cos φ|² is lowest at cos φ = −cos ψ/2t, where sin²ψ is left.
  test.each([
    [0.9, 0.3],
    [0.6, 0.1],
    [0.5, 0.2],
    [0.5, 0.05],
    [0.8, 1.5],
  ])('t = %d, the middle one behind a plate of %d rad', (t, psi) => {
    const { minima, maxima } = oneTurn([{ re: Math.cos(psi), im: Math.sin(psi) }, t]);
    const low = turns(-Math.cos(psi) / (2 * t));
    const power = (c: number) => (Math.cos(psi) + 2 * t * c) ** 2 + Math.sin(psi) ** 2;
    expect(places(minima)).toEqual(near([low, 1 - low], 8));
    expect(places(maxima)).toEqual(near([0, 0.5], 8));
    for (const { intensity } of minima)
      expect(intensity).toBeCloseTo(Math.sin(psi) ** 2 / power(1), 10);
    expect(maxima[1].intensity).toBeCloseTo(power(-1) / power(1), 10);
  });
});

describe('seven slits, F = c³/3 − kc² + (k² − h)c + q with c = cos φ: F′ = (c − k)² − h', () => {
  const seven = (k: number, h: number, q: number) => [
    q - k / 2,
    (1 / 4 + k * k - h) / 2,
    -k / 4,
    1 / 24,
  ];
  const value = (c: number, k: number, h: number, q: number) =>
    c ** 3 / 3 - k * c * c + (k * k - h) * c + q;

  // q = 3 keeps F above 0: minima and maxima of |F|² are those of F.
  test.each([0.1, 0.01, 1e-3, 1e-4, 1e-5, 1e-6])(
    'h = %d: a rise that falls back between k ± √h',
    (h) => {
      for (const k of [-0.6, -0.1, 0.23]) {
        const { minima, maxima } = oneTurn(seven(k, h, 3));
        const [low, high] = [k + Math.sqrt(h), k - Math.sqrt(h)].map(turns);
        expect(places(minima)).toEqual(near([low, 0.5, 1 - low], 6));
        expect(places(maxima)).toEqual(near([0, high, 1 - high], 6));
        const ahead = value(1, k, h, 3);
        expect(minima[0].intensity).toBeCloseTo((value(k + Math.sqrt(h), k, h, 3) / ahead) ** 2, 8);
        expect(maxima[1].intensity).toBeCloseTo((value(k - Math.sqrt(h), k, h, 3) / ahead) ** 2, 8);
      }
    },
  );

  test.each([-0.1, -0.01, -1e-3, -1e-4, -1e-5])('h = %d: only a flat place, no extremum', (h) => {
    for (const k of [-0.6, -0.1, 0.23]) {
      const { minima, maxima } = oneTurn(seven(k, h, 3));
      expect(places(minima)).toEqual(near([0.5], 8));
      expect(places(maxima)).toEqual(near([0], 8));
    }
  });

  // Upside down and through 0: F(k) = 0 makes the flat place dark, and |F|² there like (c − k)⁶.
  test('a flat place that is dark is one minimum', () => {
    for (const k of [-0.5, 0.2]) {
      const { minima, maxima } = oneTurn(seven(k, 0, -(k ** 3) / 3));
      expect(places(minima)).toEqual(near([turns(k), 1 - turns(k)], 3));
      expect(places(maxima)).toEqual(near([0, 0.5], 8));
    }
  });
});
