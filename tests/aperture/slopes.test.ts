import { describe, expect, test } from 'vitest';
import { asComplex, type Slit } from '../../kernel-lib/aperture/aperture';
import { slopesOf } from '../../kernel-lib/aperture/general-extrema';

/** Another route: ∫ t(x) (−2πi(x − middle))ⁿ exp(−2πi(x − middle)u) dx is the nth derivative, summed by Simpson's rule. */
function derivative(n: number, slits: readonly Slit[], middle: number, u: number) {
  let [re, im] = [0, 0];
  const points = 400;
  for (const { centre, width, transmission } of slits) {
    const t = asComplex(transmission);
    for (let i = 0; i <= points; i++) {
      const x = centre - middle + (i / points - 0.5) * width;
      const weight = i === 0 || i === points ? 1 : i % 2 === 1 ? 4 : 2;
      const size = ((weight * width) / (3 * points)) * (2 * Math.PI * x) ** n;
      const phase = -2 * Math.PI * x * u - (n * Math.PI) / 2;
      re += size * (t.re * Math.cos(phase) - t.im * Math.sin(phase));
      im += size * (t.im * Math.cos(phase) + t.re * Math.sin(phase));
    }
  }
  return { re, im };
}

function powerAt(slits: readonly Slit[], u: number): number {
  const { re, im } = derivative(0, slits, 0, u);
  return re * re + im * im;
}

// Lengths of a few units stand for any: u is counted in waves per unit.
const single = [{ centre: 2, width: 1, transmission: 1 }];
const pair = [
  { centre: -1, width: 0.5, transmission: 1 },
  { centre: 1.25, width: 1, transmission: -0.4 },
];
const plates = [
  { centre: 0.5, width: 0.8, transmission: { re: 0.6, im: 0.8 } },
  { centre: 2, width: 0.3, transmission: 0.7 },
  { centre: 3.25, width: 1.1, transmission: { re: -0.2, im: 0.5 } },
];
// Straight ahead, on both sides of where series take over (πau = 0.3), and far out.
const places = [0, 0.01, -0.05, 0.12, -0.3, 0.77, 2.4];

describe.each([
  ['one slit', single, 2],
  ['two slits, one of them turned by half a wave', pair, 0.25],
  ['three slits behind plates', plates, 2.1],
])('%s', (_name, slits, middle) => {
  test('|F|, |F′| and |F″| are the moments of the transmission', () => {
    const at = slopesOf(slits, middle);
    for (const u of places) {
      const { size, size1, size2 } = at(u);
      [size, size1, size2].forEach((ours, n) => {
        const { re, im } = derivative(n, slits, middle, u);
        expect(ours).toBeCloseTo(Math.hypot(re, im), 6);
      });
    }
  });

  test('power, slope and curvature are those of |F|², taken by differences', () => {
    const at = slopesOf(slits, middle);
    const h = 1e-3;
    for (const u of places) {
      const [a, b, c, d, e] = [-2, -1, 0, 1, 2].map((k) => powerAt(slits, u + k * h));
      const found = at(u);
      expect(found.u).toBe(u);
      expect(found.power).toBeCloseTo(c, 9);
      // Differences of fourth order: their error is about h⁴ times the fifth or sixth derivative.
      expect(found.slope).toBeCloseTo((a - 8 * b + 8 * d - e) / (12 * h), 4);
      expect(found.curvature).toBeCloseTo((16 * (b + d) - 30 * c - a - e) / (12 * h * h), 2);
    }
  });
});

test('a slit is dark to the last bit where its edges differ by whole waves', () => {
  const at = slopesOf([{ centre: 0.3, width: 0.5, transmission: 1 }], 0);
  for (const u of [2, -2, 4, 14, 2000]) expect(at(u).power).toBe(0);
});

test('the middle of a single slit: a², no slope, and −a⁴ (2π)²/6 of curvature', () => {
  // |F|² = a² sinc²(πau) = a² (1 − (πau)²/3 + …).
  const { power, slope, curvature } = slopesOf([{ centre: 7, width: 3, transmission: 1 }], 7)(0);
  expect(power).toBe(9);
  expect(Math.abs(slope)).toBe(0);
  expect(curvature).toBeCloseTo((-(3 ** 4) * (2 * Math.PI) ** 2) / 6, 10);
});
