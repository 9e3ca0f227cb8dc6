import fc from 'fast-check';
import { expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { withTransmissions } from '../../kernel-lib/aperture/imperfect';
import { intensity } from '../../kernel-lib/aperture/intensity';
import { phasors } from '../../kernel-lib/aperture/phasors';

const wavelength = 500e-9;
const five = slits(5, { width: 1e-9, spacing: 50e-6 });

test('straight ahead the arrows of equal slits stand in one line', () => {
  const polygon = phasors(five, wavelength, 0);
  for (const { length, phase } of polygon) {
    expect(length).toBeCloseTo(0.2, 14);
    expect(phase).toBe(0);
  }
  expect(polygon[4].to.re).toBeCloseTo(1, 14);
});

test('at the first zero of N slits the polygon closes after one turn', () => {
  const polygon = phasors(five, wavelength, wavelength / (5 * 50e-6));
  expect(Math.hypot(polygon[4].to.re, polygon[4].to.im)).toBeLessThan(1e-14);
  // Neighbours differ by a fifth of a turn.
  const turn = polygon[1].phase - polygon[0].phase;
  expect(Math.abs(Math.abs(turn) - (2 * Math.PI) / 5)).toBeLessThan(1e-12);
});

test('the closing line is the amplitude: its square is the intensity, plates and all', () => {
  const plates = withTransmissions(slits(4, { width: 20e-6, spacing: 50e-6 }), [
    1,
    { re: 0, im: 1 },
    0.5,
    { re: 0.6, im: 0.8 },
  ]);
  fc.assert(
    fc.property(fc.double({ min: -0.5, max: 0.5, noNaN: true }), (s) => {
      const polygon = phasors(plates, wavelength, s);
      polygon.forEach(({ from }, i) => {
        expect(from).toEqual(i === 0 ? { re: 0, im: 0 } : polygon[i - 1].to);
      });
      const { re, im } = polygon[3].to;
      expect(Math.abs(re * re + im * im - intensity(plates, wavelength, s))).toBeLessThan(1e-12);
    }),
    { seed: 8, numRuns: 100 },
  );
});

test('a phasor has the length and direction of what its slit adds', () => {
  const list = phasors(slits(5, { width: 2e-6, spacing: 6e-6 }), wavelength, 0.013);
  for (const { from, to, length, phase } of list) {
    expect(to.re - from.re).toBeCloseTo(length * Math.cos(phase), 14);
    expect(to.im - from.im).toBeCloseTo(length * Math.sin(phase), 14);
  }
  // Each slit adds its width times exp(−2πi x s/λ): the last stands at 12 µm.
  expect(list[4].phase).toBeCloseTo((-2 * Math.PI * 12e-6 * 0.013) / wavelength, 12);
});
