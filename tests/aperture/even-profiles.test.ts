import { describe, expect, test } from 'vitest';
import { type Aperture, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { blocked, withTransmissions } from '../../kernel-lib/aperture/imperfect';
import { intensity, intensityProfile } from '../../kernel-lib/aperture/intensity';

/** Profiles at even steps take short cuts; each value must be that of `intensity`, computed by itself. */
const wavelength = 500e-9;
const um = 1e-6;
const comb = (count: number, from: number, width: number, spacing: number) =>
  Array.from({ length: count }, (_, i) => ({
    centre: (from + i * spacing) * um,
    width: width * um,
  }));

const apertures: readonly (readonly [string, Aperture])[] = [
  ['one slit', slits(1, { width: 40 * um })],
  ['one slit behind a plate', slits(1, { width: 40 * um, transmission: { re: 0.6, im: 0.8 } })],
  ['ten slits', slits(10, { width: 5 * um, spacing: 20 * um })],
  ['two hundred slits', slits(200, { width: 2 * um, spacing: 6 * um })],
  ['a grating with a gap', blocked(slits(9, { width: 5 * um, spacing: 20 * um }), 4)],
  ['runs of two widths', slitsAt([...comb(3, 0, 5, 20), ...comb(4, 100, 9, 33)])],
  [
    'a run and two slits',
    slitsAt([...comb(5, 0, 5, 20), ...comb(1, 131, 5, 1), ...comb(1, 160, 8, 1)]),
  ],
  [
    'four slits, half of them turned',
    withTransmissions(slits(6, { width: 5 * um, spacing: 20 * um }), [
      ...[1, 1, 1],
      ...new Array(3).fill({ re: 0, im: 0.5 }),
    ]),
  ],
];

const ranges: readonly (readonly [string, number, number, number])[] = [
  ['across straight ahead', -0.03, 0.0301, 2000],
  ['from straight ahead on', 0, 0.05, 500],
  ['up to straight ahead', -0.05, 0, 500],
  ['close to straight ahead', -2e-6, 3e-6, 100],
  ['to one side', 0.1, 0.2, 1000],
  ['over whole orders', -0.1, 0.1, 321],
  ['few steps', -0.01, 0.02, 10],
  ['more than a block squared', -0.4, 0.41, 20_000],
];

describe.each(apertures)('%s', (_name, aperture) => {
  test.each(ranges)('%s', (_where, from, to, points) => {
    const step = (to - from) / (points - 1);
    const s = Float64Array.from({ length: points }, (_, i) => from + i * step);
    const profile = intensityProfile(aperture, wavelength, s);
    let worst = 0;
    s.forEach((value, i) => {
      worst = Math.max(worst, Math.abs(profile[i] - intensity(aperture, wavelength, value)));
    });
    expect(worst).toBeLessThan(1e-12);
  });
});

test('downwards as well as upwards', () => {
  const [, aperture] = apertures[5];
  const up = Float64Array.from({ length: 300 }, (_, i) => -0.1 + i * 7e-4);
  const down = intensityProfile(aperture, wavelength, [...up].reverse());
  intensityProfile(aperture, wavelength, up).forEach((value, i) => {
    expect(Math.abs(down[299 - i] - value)).toBeLessThan(1e-12);
  });
});

const even = (from: number, step: number, length: number) =>
  Float64Array.from({ length }, (_, i) => from + i * step);

test('a value a little beside its even place gets its own intensity', () => {
  // A million fringes in the range: a hundred roundings of s are a ten-thousandth of a fringe.
  const pair = slits(2, { width: 1e-6, spacing: 500 });
  const wavelength = 500e-9;
  // A quarter of a fringe from point to point, so that those looked at stand on a slope.
  const list = even(1e-4, 1.00025e-6, 101);
  for (const i of [1, 49, 99]) {
    const s = list.with(i, list[i] + 1e-17);
    const profile = intensityProfile(pair, wavelength, s);
    s.forEach((value, k) => {
      expect(Math.abs(profile[k] - intensity(pair, wavelength, value))).toBeLessThan(1e-9);
    });
  }
});

describe('short and odd profiles', () => {
  const five = slits(5, { width: 2e-6, spacing: 6e-6 });

  test.each([0, 1, 8, 9, 200])('%d even steps give as many intensities', (count) => {
    const s = Array.from({ length: count }, (_, i) => -0.3 + i * 0.004);
    const profile = intensityProfile(five, wavelength, s);
    expect(profile).toHaveLength(count);
    s.forEach((value, i) => {
      expect(Math.abs(profile[i] - intensity(five, wavelength, value))).toBeLessThan(1e-13);
    });
  });

  test('steps of 0 and values that are not finite are told apart', () => {
    const same = new Array(20).fill(0.1);
    const at = intensity(five, wavelength, 0.1);
    for (const value of intensityProfile(five, wavelength, same)) expect(value).toBeCloseTo(at, 13);
    const huge = Array.from({ length: 20 }, (_, i) => (i === 19 ? Infinity : i / 20));
    expect(() => intensityProfile(five, wavelength, huge)).toThrow(/direction sine/);
  });
});
