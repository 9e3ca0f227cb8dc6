import fc from 'fast-check';
import { expect, test } from 'vitest';
import { amplitude } from '../../kernel-lib/aperture/amplitude';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { type Autocorrelation, autocorrelation } from '../../kernel-lib/aperture/autocorrelation';
import { blocked } from '../../kernel-lib/aperture/imperfect';
import { gaussLegendre } from '../../kernel-lib/numerics/quadrature';
import { seeded } from '../../kernel-lib/numerics/random';

const wavelength = 550e-9;

test.each([2, 10, 50, 1000])('%d equal slits have 3N − 1 knots, touching peaks fewer', (count) => {
  expect(autocorrelation(slits(count, { width: 20e-6, spacing: 90e-6 })).lags).toHaveLength(
    3 * count - 1,
  );
  // With d = 2a the foot of one peak is that of the next.
  expect(autocorrelation(slits(count, { width: 20e-6, spacing: 40e-6 })).lags).toHaveLength(
    2 * count,
  );
  // Touching slits are one wide slit.
  expect(autocorrelation(slits(count, { width: 20e-6, spacing: 20e-6 })).lags).toHaveLength(2);
});

test('a blocked slit adds no more lags than the grating has', () => {
  const grating = slits(50, { width: 20e-6, spacing: 90e-6 });
  expect(autocorrelation(blocked(grating, 20)).lags.length).toBeLessThanOrEqual(3 * 50 - 1);
});

/** 2 ∫₀ [Re A cos(2πcu) + Im A sin(2πcu)] dc, knot to knot by Gauss–Legendre sums. */
function cosineTransform({ lags, re, im }: Autocorrelation, u: number): number {
  const { nodes, weights } = gaussLegendre(24);
  let sum = 0;
  for (let i = 1; i < lags.length; i++) {
    const half = (lags[i] - lags[i - 1]) / 2;
    nodes.forEach((node, k) => {
      const t = (1 + node) / 2;
      const phase = 2 * Math.PI * u * (lags[i - 1] + t * 2 * half);
      const a = re[i - 1] + t * (re[i] - re[i - 1]);
      const b = im[i - 1] + t * (im[i] - im[i - 1]);
      sum += 2 * half * weights[k] * (a * Math.cos(phase) + b * Math.sin(phase));
    });
  }
  return sum;
}

/** The same from the bends alone: each integrates to −cos/(2πu)². */
function fromBends({ lags, bendRe, bendIm }: Autocorrelation, u: number): number {
  let sum = bendRe[0];
  for (let i = 1; i < lags.length; i++) {
    const phase = 2 * Math.PI * u * lags[i];
    sum += 2 * (bendRe[i] * Math.cos(phase) + bendIm[i] * Math.sin(phase));
  }
  return -sum / (2 * Math.PI * u) ** 2;
}

test('its cosine transform is |F|², for real and complex transmissions (Wiener–Khinchin)', () => {
  fc.assert(
    fc.property(fc.integer(), fc.double({ min: 0.001, max: 0.03, noNaN: true }), (seed, s) => {
      const random = seeded(seed);
      const phases = seed % 2 === 0;
      let edge = 0;
      const aperture = slitsAt(
        Array.from({ length: 1 + random.whole(7) }, () => {
          const [gap, width] = [5e-6 + 5e-5 * random.uniform(), 5e-6 + 5e-5 * random.uniform()];
          edge += gap + width;
          const transmission = phases
            ? { re: random.normal(), im: random.normal() }
            : random.normal();
          return { centre: edge - width / 2, width, transmission };
        }),
      );
      const A = autocorrelation(aperture);
      const { re, im } = amplitude(aperture, wavelength, s);
      const scale = A.re[0] * (A.lags[A.lags.length - 1] ?? 1);
      expect(Math.abs(cosineTransform(A, s / wavelength) - (re * re + im * im))).toBeLessThan(
        1e-11 * scale,
      );
      expect(Math.abs(fromBends(A, s / wavelength) - (re * re + im * im))).toBeLessThan(
        1e-9 * scale,
      );
    }),
    { seed: 3, numRuns: 60 },
  );
});
