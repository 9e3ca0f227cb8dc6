import { describe, expect, test } from 'vitest';
import { amplitude } from '../../kernel-lib/aperture/amplitude';
import { type Aperture, asComplex, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
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

const light = 500e-9;

/**
 * Huygens' integral itself, by Simpson's rule: the paths from source to slit and on to the screen are longer by
 * x²/2z₀ and (x − X)²/2z than straight on, and the open beam has |∫|² = λL.
 */
function huygens({ slits: list }: Aperture, place: number, z: number, z0 = Infinity): number {
  let [re, im] = [0, 0];
  const points = 400;
  for (const { centre, width, transmission } of list) {
    const t = asComplex(transmission);
    for (let i = 0; i <= points; i++) {
      const x = centre + (i / points - 0.5) * width;
      const weight = i === 0 || i === points ? 1 : i % 2 === 1 ? 4 : 2;
      const phase = (Math.PI / light) * (x ** 2 / z0 + (x - place) ** 2 / z);
      const size = (weight * width) / (3 * points);
      re += size * (t.re * Math.cos(phase) - t.im * Math.sin(phase));
      im += size * (t.im * Math.cos(phase) + t.re * Math.sin(phase));
    }
  }
  return ((re * re + im * im) / light) * (1 / z + 1 / z0);
}

const plates = slitsAt([
  { centre: -3e-4, width: 1e-4, transmission: { re: 0.6, im: 0.8 } },
  { centre: 1e-4, width: 2e-4, transmission: { re: -0.3, im: 0.4 } },
  { centre: 4e-4, width: 1.5e-4 },
]);

describe.each([
  ['one slit', slits(1, { width: 6e-4 })],
  ['one slit off the axis', slitsAt([{ centre: 5e-4, width: 4e-4 }])],
  ['two slits', slits(2, { width: 2e-4, spacing: 5e-4 })],
  ['three slits, two of them behind plates', plates],
])('%s', (_name, aperture) => {
  test.each([
    [0.1, Infinity],
    [1.5, Infinity],
    [0.3, 0.2],
    [0.2, 1.4],
  ])('%d m behind it, the source %d m before it: Huygens’ integral', (z, z0) => {
    const x = [-1.1e-3, -2e-4, 0, 3.5e-4, 9e-4];
    const found = nearField(aperture, light, z, x, { sourceDistance: z0 });
    expect(found).toHaveLength(x.length);
    x.forEach((place, i) => {
      expect(found[i]).toBeCloseTo(huygens(aperture, place, z, z0), 6);
    });
  });
});

test('as many irradiances as places, in their order, none for none', () => {
  const one = slits(1, { width: 6e-4 });
  expect(nearField(one, light, 1, [])).toHaveLength(0);
  const [left, right] = nearField(plates, light, 0.4, [-3e-4, 3e-4]);
  expect(nearField(plates, light, 0.4, Float64Array.of(3e-4, -3e-4))).toEqual(
    Float64Array.of(right, left),
  );
});

test('no options, empty ones and an endless source distance all mean a parallel beam', () => {
  const [x, expected] = [[2e-4], nearField(plates, light, 0.4, [2e-4])];
  expect(nearField(plates, light, 0.4, x, {})).toEqual(expected);
  expect(nearField(plates, light, 0.4, x, null as never)).toEqual(expected);
  expect(nearField(plates, light, 0.4, x, { sourceDistance: Infinity })).toEqual(expected);
});

test('the Fresnel number counts half-wave zones: the paths of edge and middle differ by half as many waves', () => {
  // From −350 µm to 475 µm: half of it is 412.5 µm.
  const [half, z, z0] = [412.5e-6, 0.3, 0.2];
  const longer = half ** 2 / (2 * z) + half ** 2 / (2 * z0);
  expect(fresnelNumber(plates, light, z, { sourceDistance: z0 })).toBeCloseTo(
    longer / (light / 2),
    12,
  );
  expect(fresnelNumber(plates, light, z)).toBeCloseTo(half ** 2 / z / light, 12);
});
