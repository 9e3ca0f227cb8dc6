import { describe, expect, test } from 'vitest';
import { amplitude, arrayFactor } from '../../kernel-lib/aperture/amplitude';
import {
  type Aperture,
  asComplex,
  type Complex,
  slits,
  slitsAt,
} from '../../kernel-lib/aperture/aperture';
import { diffractionAngle, directionSine } from '../../kernel-lib/aperture/direction';
import { withTransmissions } from '../../kernel-lib/aperture/imperfect';
import { intensity } from '../../kernel-lib/aperture/intensity';
import { visibility } from '../../kernel-lib/aperture/visibility';

/** Against the definitions, summed slit by slit without any closed form for equal ones. */
const wavelength = 500e-9;

function plainSum({ slits: list }: Aperture, s: number): Complex {
  let [re, im] = [0, 0];
  for (const { centre, width, transmission } of list) {
    const t = asComplex(transmission);
    const half = (Math.PI * width * s) / wavelength;
    const size = half === 0 ? width : (width * Math.sin(half)) / half;
    const phase = (-2 * Math.PI * centre * s) / wavelength;
    re += size * (t.re * Math.cos(phase) - t.im * Math.sin(phase));
    im += size * (t.im * Math.cos(phase) + t.re * Math.sin(phase));
  }
  return { re, im };
}

test.each([1, 2, 3, 4, 5, 8])(
  'the array factor of %d slits is the mean of their phasors',
  (count) => {
    for (let u = -3; u <= 3; u += 1 / 16) {
      let sum = 0;
      for (let j = 0; j < count; j++) sum += Math.cos(2 * Math.PI * (j - (count - 1) / 2) * u);
      expect(Math.abs(arrayFactor(count, u) - sum / count)).toBeLessThan(1e-13);
    }
  },
);

const plates: readonly (number | Complex)[] = [1, { re: 0, im: 1 }, -0.5, { re: 0.6, im: 0.8 }];
const apertures: readonly (readonly [string, Aperture])[] = [
  ['one slit', slits(1, { width: 4e-6 })],
  ['one slit with a plate', withTransmissions(slits(1, { width: 4e-6 }), [{ re: 0.6, im: 0.8 }])],
  ['two slits', slits(2, { width: 2e-6, spacing: 5e-6 })],
  ['six slits', slits(6, { width: 2e-6, spacing: 5e-6 })],
  ['seven slits', slits(7, { width: 2e-6, spacing: 5e-6 })],
  ['four slits with plates', withTransmissions(slits(4, { width: 2e-6, spacing: 5e-6 }), plates)],
  [
    'uneven slits off the axis',
    slitsAt([
      { centre: 3e-6, width: 2e-6 },
      { centre: 8e-6, width: 1e-6, transmission: 0.3 },
      { centre: 20e-6, width: 3e-6, transmission: { re: 0, im: -1 } },
    ]),
  ],
];

describe.each(apertures)('%s', (_name, aperture) => {
  const order = wavelength / 5e-6;
  const sines = [0, 0.3 * order, 0.5 * order, order, -order, 2 * order, 3 * order, 0.1234, -0.37];

  test('the amplitude is the sum over the slits, sign and phase included', () => {
    for (const s of sines) {
      const [ours, sum] = [amplitude(aperture, wavelength, s), plainSum(aperture, s)];
      expect(Math.hypot(ours.re - sum.re, ours.im - sum.im)).toBeLessThan(1e-18);
    }
  });

  test('the intensity is its square, over that straight ahead', () => {
    const ahead = plainSum(aperture, 0);
    for (const s of sines) {
      const { re, im } = plainSum(aperture, s);
      const expected = (re * re + im * im) / (ahead.re * ahead.re + ahead.im * ahead.im);
      expect(Math.abs(intensity(aperture, wavelength, s) - expected)).toBeLessThan(1e-12);
    }
  });
});

test('imaginary plates can cancel straight ahead as well as real ones', () => {
  const two = slits(2, { width: 2e-6, spacing: 5e-6 });
  const opposite = withTransmissions(two, [
    { re: 0, im: 1 },
    { re: 0, im: -1 },
  ]);
  expect(() => intensity(opposite, wavelength, 0.1)).toThrow(/cancel/);
  const faint = withTransmissions(two, [{ re: 0, im: 1e-3 }, 1e-3]);
  expect(intensity(faint, wavelength, 0)).toBeCloseTo(1, 14);
});

test('a wavelength of a metre is a mistake, one just below is not', () => {
  const one = slits(1, { width: 4e-6 });
  expect(() => intensity(one, 1, 0)).toThrow(/below 1 m, but 1 was given/);
  expect(intensity(one, 0.999, 0)).toBe(1);
});

describe('directions', () => {
  test('s = sin θ − sin θi, there and back, to grazing', () => {
    for (const incidence of [-0.7, 0, 0.4])
      for (const angle of [-Math.PI / 2, -0.3, 0, 1.2, Math.PI / 2]) {
        const s = directionSine(angle, incidence);
        expect(s).toBeCloseTo(Math.sin(angle) - Math.sin(incidence), 15);
        expect(diffractionAngle(s, incidence)).toBeCloseTo(angle, 7);
      }
    expect(diffractionAngle(1 + 5e-13)).toBe(Math.PI / 2);
    expect(diffractionAngle(-1 - 5e-13)).toBe(-Math.PI / 2);
  });
});

test('visibility is (most − least) / (most + least), whatever the unit', () => {
  // Two beams of intensities 1 and 4: amplitudes 1 and 2, so 9 and 1 are seen (common practice, no source).
  expect(visibility([1, 5, 9, 5, 1])).toBeCloseTo(0.8, 15);
  expect(visibility([1000, 9000])).toBeCloseTo(0.8, 15);
  expect(visibility([7, 7])).toBe(0);
  expect(visibility([0, 3])).toBe(1);
});
