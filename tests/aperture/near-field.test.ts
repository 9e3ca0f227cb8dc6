import { expect, test } from 'vitest';
import { amplitude } from '../../kernel-lib/aperture/amplitude';
import { slits } from '../../kernel-lib/aperture/aperture';
import { fresnelNumber, nearField } from '../../kernel-lib/aperture/near-field';

const wavelength = 550e-9;
const three = slits(3, { width: 30e-6, spacing: 90e-6 });

/** Largest difference between near field and Fraunhofer pattern, relative to its maximum. */
function difference(distance: number, sourceDistance = Infinity): number {
  const length = 1 / (1 / distance + 1 / sourceDistance);
  const s = Array.from({ length: 201 }, (_, i) => (i - 100) * 2e-4);
  const near = nearField(
    three,
    wavelength,
    distance,
    s.map((value) => value * distance),
    { sourceDistance },
  );
  const far = s.map((value) => {
    const { re, im } = amplitude(three, wavelength, value);
    return (re * re + im * im) / (wavelength * length);
  });
  return Math.max(...far.map((value, i) => Math.abs(near[i] - value))) / Math.max(...far);
}

test('near tends to far as the Fresnel number falls, at least as fast as the number itself', () => {
  let last = Infinity;
  for (const distance of [0.01, 0.1, 1, 10, 100, 1000]) {
    const number = fresnelNumber(three, wavelength, distance);
    const now = difference(distance);
    expect(now).toBeLessThan(last);
    if (number < 1) expect(now).toBeLessThan(2 * number);
    last = now;
  }
  expect(last).toBeLessThan(1e-4);
});

test('a source at a finite distance keeps the far field far only if it is far too', () => {
  expect(fresnelNumber(three, wavelength, 1000, { sourceDistance: 0.1 })).toBeCloseTo(
    fresnelNumber(three, wavelength, 0.1),
    3,
  );
  expect(difference(1000, 1000)).toBeLessThan(1e-4);
  expect(difference(1000, 0.05)).toBeGreaterThan(0.1);
});

test('close behind a wide slit: full light in the middle, none in the shadow, 1/4 at the edges', () => {
  const wide = slits(1, { width: 4e-3 });
  const [middle, shadow, edge] = nearField(wide, wavelength, 0.01, [0, 3e-3, 2e-3]);
  expect(fresnelNumber(wide, wavelength, 0.01)).toBeGreaterThan(500);
  expect(middle).toBeCloseTo(1, 1);
  expect(shadow).toBeLessThan(1e-3);
  expect(edge).toBeCloseTo(0.25, 1);
});

test('the shadow of a nearby source grows with distance', () => {
  const wide = slits(1, { width: 4e-3 });
  // Source 1 m in front, screen 1 m behind: the edge of the shadow is at 2 × 2 mm.
  const [edge] = nearField(wide, wavelength, 1, [4e-3], { sourceDistance: 1 });
  expect(edge).toBeGreaterThan(0.2);
  expect(edge).toBeLessThan(0.3);
});

test('all the light that passes the slits arrives', () => {
  const [distance, step] = [0.05, 1e-7];
  const x = Float64Array.from({ length: 200_001 }, (_, i) => (i - 100_000) * step);
  const total =
    nearField(three, wavelength, distance, x).reduce((sum, value) => sum + value, 0) * step;
  expect(total / 90e-6).toBeGreaterThan(0.99);
  expect(total / 90e-6).toBeLessThan(1);
});
