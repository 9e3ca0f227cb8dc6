import { describe, expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { generalExtrema } from '../../kernel-lib/aperture/general-extrema';
import { withTransmissions } from '../../kernel-lib/aperture/imperfect';

/**
 * Narrow slits at −degree … degree whose amplitude is a given polynomial Q(cos φ), φ = 2πu: transmission n is the
 * mean of Q(cos φ) cos nφ over a turn. Where Q > 0, the extrema of |F|² between φ = 0 and π are the zeros of Q′.
 */
function lattice(degree: number, q: (c: number) => number) {
  const points = Array.from({ length: 64 }, (_, i) => (2 * Math.PI * i) / 64);
  const mean = (n: number) =>
    points.reduce((sum, phi) => sum + q(Math.cos(phi)) * Math.cos(n * phi), 0) / 64;
  return slitsAt(
    Array.from({ length: 2 * degree + 1 }, (_, i) => i - degree).map((n) => {
      return { centre: n, width: 1e-9, transmission: mean(n) };
    }),
  );
}

/** Half a turn from just above φ = 0 to just below π: cosines of the places, and minimum or maximum of each. */
function extrema(degree: number, q: (c: number) => number) {
  const { minima, maxima } = generalExtrema(lattice(degree, q), 0.02, 0.48);
  return [
    ...minima.map(({ u }) => ({ u, bright: false })),
    ...maxima.map(({ u }) => ({ u, bright: true })),
  ]
    .filter(({ u }) => u > 0.02 && u < 0.48)
    .sort((a, b) => b.u - a.u)
    .map(({ u, bright }) => ({ c: Math.cos(2 * Math.PI * u), bright }));
}

// All but −h and b are x = cos φ − k; a twelfth of the finest fringe is 0.04 to 0.07 of cos φ.
const middles = [-0.5, -0.07, 0.4];

describe('three extrema within a step: Q′ = x (x² − h)', () => {
  const q = (k: number, h: number, sign: number) => (c: number) =>
    2 + sign * ((c - k) ** 4 / 4 - (h * (c - k) ** 2) / 2);

  test.each([0.01, 3e-4, 2e-5])('h = %d: at k and k ± √h', (h) => {
    for (const k of middles)
      for (const sign of [1, -1]) {
        const places = [k - Math.sqrt(h), k, k + Math.sqrt(h)];
        expect(extrema(4, q(k, h, sign))).toEqual(
          places.map((c, i) => ({
            c: expect.closeTo(c, 6),
            bright: (i === 1) === (sign === 1),
          })),
        );
      }
  });

  test.each([-1e-2, -1e-4, 0])('h = %d: one, however flat', (h) => {
    for (const k of middles)
      for (const sign of [1, -1])
        expect(extrema(4, q(k, h, sign))).toEqual([
          { c: expect.closeTo(k, 3), bright: sign === -1 },
        ]);
  });
});

describe('four extrema within a step: Q′ = (x² − g)(x² − h)', () => {
  const q = (k: number, g: number, h: number) => (c: number) => {
    const x = c - k;
    return 2 + x ** 5 / 5 - ((g + h) * x ** 3) / 3 + g * h * x;
  };

  test.each([
    [4e-4, 1e-4],
    [1e-4, 2e-5],
    [1e-4, 6e-5],
  ])('g = %d, h = %d: at k ± √g and k ± √h', (g, h) => {
    for (const k of middles) {
      const [far, close] = [Math.sqrt(g), Math.sqrt(h)];
      const places = [k - far, k - close, k + close, k + far];
      expect(extrema(5, q(k, g, h))).toEqual(
        places.map((c, i) => ({ c: expect.closeTo(c, 5), bright: i % 2 === 0 })),
      );
    }
  });

  test.each([
    [1e-4, -1e-4],
    [1e-4, -1e-3],
    [3e-5, -1e-5],
  ])('g = %d, h = %d: two, and a flat rise between them', (g, h) => {
    for (const k of middles) {
      const places = [k - Math.sqrt(g), k + Math.sqrt(g)];
      expect(extrema(5, q(k, g, h))).toEqual(
        places.map((c, i) => ({ c: expect.closeTo(c, 5), bright: i === 0 })),
      );
    }
  });

  test('g = h = −0.0001: none, though the slope nearly stops', () => {
    for (const k of middles) expect(extrema(5, q(k, -1e-4, -1e-4))).toEqual([]);
  });
});

test('two extrema side by side in a slope that goes on falling: Q′ = (x + b)(x² − h)', () => {
  // Q′ = (x² − h)(x + b): the third zero lies a step or two away, on either side.
  for (const b of [0.03, 0.06, 0.1, -0.05])
    for (const h of [1e-4, 1e-5])
      for (const k of middles) {
        const q = (c: number) => {
          const x = c - k;
          return 2 + x ** 4 / 4 + (b * x ** 3) / 3 - (h * x ** 2) / 2 - h * b * x;
        };
        const places = [k - Math.sqrt(h), k + Math.sqrt(h), k - b].sort((x, y) => x - y);
        expect(extrema(4, q)).toEqual(
          places.map((c, i) => ({ c: expect.closeTo(c, 6), bright: i === 1 })),
        );
      }
});

test('an end of a step that falls on a dark point to the last bit counts it once', () => {
  let exact = 0;
  for (let k = 25; k < 45; k++)
    for (let ulps = -3; ulps <= 3; ulps++) {
      const extent = ((k + 0.618) / 12) * (1 + ulps * Number.EPSILON);
      const pair = withTransmissions(slits(2, { width: 1, spacing: extent - 1 }), [1, 0.6]);
      if ((k + 0.618) * (1 / (12 * extent)) === 1) exact++;
      const { minima } = generalExtrema(pair, 0.99, 1.01);
      const dark = minima.filter(({ u, intensity }) => Math.abs(u - 1) < 0.01 && intensity < 1e-20);
      expect(dark).toHaveLength(1);
    }
  expect(exact).toBeGreaterThan(0);
});
