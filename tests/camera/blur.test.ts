import { describe, expect, test } from 'vitest';
import { type Aperture, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import { prepare } from '../../kernel-lib/camera/prepared-light';
import { whitePattern } from '../../kernel-lib/camera/white-pattern';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { laser } from '../../kernel-lib/light/lamp';
import type { Light } from '../../kernel-lib/light/light';
import { integrate } from '../../kernel-lib/numerics/quadrature';
import { plainSum } from './plain-strip';

/** Plain sum averaged over boxes by quadrature, one channel. */
function averaged(
  aperture: Aperture,
  light: Light,
  s: number,
  boxes: readonly number[],
  c: number,
): number {
  const [box, ...others] = boxes;
  if (box === undefined) return plainSum(aperture, prepare(light).colour.sum(0), s)[c];
  const within = (at: number) => averaged(aperture, light, at, others, c);
  return integrate(within, s - box / 2, s + box / 2) / box;
}

const apertures: [string, Aperture][] = [
  ['one slit', slits(1, { width: 40e-6 })],
  ['four slits', slits(4, { width: 40e-6, spacing: 100e-6 })],
  [
    'slits with a phase plate',
    slitsAt([
      { centre: -1e-4, width: 3e-5 },
      { centre: 0, width: 5e-5, transmission: { re: 0.3, im: 0.8 } },
    ]),
  ],
];

describe.each(apertures)('%s', (_, aperture) => {
  test.each([[[1e-3]], [[2e-5]], [[8e-3]], [[3e-3, 4e-4]], [[4e-4, 3e-3]], [[1e-3, 1e-3]]])(
    'averages over boxes of %j in s as quadrature of the pattern does',
    (boxes) => {
      const light = laser(550e-9);
      const sines = Float64Array.from([-0.011, -2e-4, 0, 1e-4, 0.0055, 0.02]);
      const fast = whitePattern(aperture, prepare(light).colour, sines, boxes);
      sines.forEach((s, i) => {
        expect(Math.abs(fast[3 * i + 1] - averaged(aperture, light, s, boxes, 1))).toBeLessThan(
          1e-6,
        );
      });
    },
  );
});

describe('a wide source slit', () => {
  const [spacing, wavelength] = [100e-6, 550e-9];
  const narrow = slits(2, { width: 1e-6, spacing });
  /** Contrast of the fringes about the middle, the source slit b wide before a collimator of 1 m. */
  function contrast(sourceWidth: number): number {
    const { total } = filmStrip(narrow, laser(wavelength), {
      points: 2001,
      span: (1.2 * wavelength) / spacing,
      sourceWidth,
    });
    const [most, least] = [Math.max(...total), Math.min(...total)];
    return (most - least) / (most + least);
  }

  // Visibility |sinc(bd/λL)|: 0.9 at 0.25041, 0.5 at 0.60335 (recomputed from the formula of the trade).
  test.each([
    [0.25041, 0.9],
    [0.60335, 0.5],
  ])('at bd/λL = %f leaves a contrast of %f', (ratio, visibility) => {
    expect(contrast((ratio * wavelength) / spacing)).toBeCloseTo(visibility, 3);
  });

  test('at bd/λL = 1 leaves no fringes', () => {
    expect(contrast(wavelength / spacing)).toBeLessThan(2e-3);
  });
});

test('a blurred strip in white light is relative to its own middle', () => {
  const aperture = slits(3, { width: 40e-6, spacing: 100e-6 });
  const options = { points: 201, span: 0.03, sourceWidth: 3e-4, filmBlur: 5e-4 };
  const strip = filmStrip(aperture, illuminant('D65'), options);
  expect(strip.xyz[3 * 100 + 1]).toBeCloseTo(1, 12);
  expect(strip.total[100]).toBeCloseTo(1, 12);
  const sharp = filmStrip(aperture, illuminant('D65'), { points: 201, span: 0.03 });
  const least = (values: Float64Array) => Math.min(...values.slice(100, 140));
  expect(least(strip.total)).toBeGreaterThan(least(sharp.total));
});

test('a blur too narrow to matter gives the sharp strip', () => {
  const aperture = slits(3, { width: 40e-6, spacing: 100e-6 });
  const sharp = filmStrip(aperture, illuminant('D65'), { points: 101 });
  const strip = filmStrip(aperture, illuminant('D65'), { points: 101, filmBlur: 1e-8 });
  expect(strip.xyz).toEqual(sharp.xyz);
});
