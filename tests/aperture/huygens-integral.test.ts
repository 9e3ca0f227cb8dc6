import { describe, expect, test } from 'vitest';
import { type Aperture, asComplex, slits, slitsAt } from '../../kernel-lib/aperture/aperture';

import { fresnelNumber, nearField } from '../../kernel-lib/aperture/near-field';

const wavelength = 500e-9;

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
      const phase = (Math.PI / wavelength) * (x ** 2 / z0 + (x - place) ** 2 / z);
      const size = (weight * width) / (3 * points);
      re += size * (t.re * Math.cos(phase) - t.im * Math.sin(phase));
      im += size * (t.im * Math.cos(phase) + t.re * Math.sin(phase));
    }
  }
  return ((re * re + im * im) / wavelength) * (1 / z + 1 / z0);
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
    const found = nearField(aperture, wavelength, z, x, { sourceDistance: z0 });
    expect(found).toHaveLength(x.length);
    x.forEach((place, i) => {
      expect(found[i]).toBeCloseTo(huygens(aperture, place, z, z0), 6);
    });
  });
});

test('as many irradiances as places, in their order, none for none', () => {
  const one = slits(1, { width: 6e-4 });
  expect(nearField(one, wavelength, 1, [])).toHaveLength(0);
  const [left, right] = nearField(plates, wavelength, 0.4, [-3e-4, 3e-4]);
  expect(nearField(plates, wavelength, 0.4, Float64Array.of(3e-4, -3e-4))).toEqual(
    Float64Array.of(right, left),
  );
});

test('no options, empty ones and an endless source distance all mean a parallel beam', () => {
  const [x, expected] = [[2e-4], nearField(plates, wavelength, 0.4, [2e-4])];
  expect(nearField(plates, wavelength, 0.4, x, {})).toEqual(expected);
  expect(nearField(plates, wavelength, 0.4, x, null as never)).toEqual(expected);
  expect(nearField(plates, wavelength, 0.4, x, { sourceDistance: Infinity })).toEqual(expected);
});

test('the Fresnel number counts half-wave zones: the paths of edge and middle differ by half as many waves', () => {
  // From −350 µm to 475 µm: half of it is 412.5 µm.
  const [half, z, z0] = [412.5e-6, 0.3, 0.2];
  const longer = half ** 2 / (2 * z) + half ** 2 / (2 * z0);
  expect(fresnelNumber(plates, wavelength, z, { sourceDistance: z0 })).toBeCloseTo(
    longer / (wavelength / 2),
    12,
  );
  expect(fresnelNumber(plates, wavelength, z)).toBeCloseTo(half ** 2 / z / wavelength, 12);
});

describe('what is refused and named', () => {
  const one = slits(1, { width: 6e-4 });
  test.each([
    [/^The distance to the screen must be greater than 0, but 0/, 0, [0], {}],
    [/^The distance to the screen must be finite/, Infinity, [0], {}],
    [/^The source distance must be greater than 0, but 0/, 1, [0], { sourceDistance: 0 }],
    [/^The source distance must be finite/, 1, [0], { sourceDistance: -Infinity }],
    [/^x must be a list of numbers, but 0 was given/, 1, 0, {}],
    [/^x\[1\] must be finite, but NaN/, 1, [0, Number.NaN], {}],
  ])('%s', (sentence, z, x, options) => {
    expect(() => nearField(one, wavelength, z, x as number[], options)).toThrow(sentence);
  });

  test('a Fresnel number for a wavelength in nanometres, or a screen on the aperture', () => {
    expect(() => fresnelNumber(one, 500, 1)).toThrow(/^The wavelength/);
    expect(() => nearField(one, 500, 1, [0])).toThrow(/^The wavelength/);
    expect(() => fresnelNumber(one, wavelength, 0)).toThrow(/^The distance to the screen/);
  });
});
