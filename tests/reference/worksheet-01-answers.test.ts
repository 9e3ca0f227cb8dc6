import { describe, test } from 'vitest';
import key from '../../worksheets/01-a-parallel-beam/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { bisected, lowest, simpson } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student.
const desk = deskFor(key);
const percent = (share: number, value: number) => (share / 100) * value;

/** Contrast of fringes `d` apart in a source slit `b` wide: the waves of its parts, angle by exact geometry. */
function summedContrast(b: number, d: number, f1: number, wavelength: number): number {
  const phase = (y: number) => (2 * Math.PI * d * Math.sin(Math.atan(y / f1))) / wavelength;
  return simpson((y) => Math.cos(phase(y)), -b / 2, b / 2, 100) / b;
}

/** Irradiance on the axis behind a slit, relative to a²/λz: Fresnel's integral by Simpson's rule. */
function shareOfFar(a: number, z: number, wavelength: number): number {
  const phase = (y: number) => (Math.PI * y * y) / (wavelength * z);
  const re = simpson((y) => Math.cos(phase(y)), -a / 2, a / 2);
  const im = simpson((y) => Math.sin(phase(y)), -a / 2, a / 2);
  return (re * re + im * im) / (a * a);
}

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);
  const { sourceWidth: b, collimatorFocalLength: f1, focalLength: f, wavelength, spacing } = given;

  test('1.1, 1.2: rays through the middles of both lenses, with the tangent', () => {
    desk.begin(student);
    const half = Math.atan(b / 2 / f1);
    const image = 2 * f * Math.tan(half) * 1e6;
    expectJudged(desk, '1.1', image, percent(1, image));
    const seconds = 2 * half * (648_000 / Math.PI);
    expectJudged(desk, '1.2', seconds, percent(1, seconds));
  });

  test('1.3: Pythagoras, L² + c² = (L + h)²', () => {
    desk.begin(student);
    const [c, h] = [given.beamWidth / 2, wavelength / given.parts];
    const distance = (c * c - h * h) / (2 * h);
    expectJudged(desk, '1.3', distance, percent(1, distance));
  });

  test('1.4, 1.5: the fringes of all parts of the source slit added up', () => {
    desk.begin(student);
    const contrast = (width: number) => summedContrast(width, spacing, f1, wavelength);
    const zero = bisected(contrast, 1e-5, (1.5 * wavelength * f1) / spacing) * 1e6;
    expectJudged(desk, '1.4', zero, percent(1, zero));
    const own = (width: number) => Math.abs(contrast(width));
    if (!desk.agrees('1.5', own)) throw new Error('1.5 does not agree');
    for (const off of [-0.003, 0.003])
      if (desk.agrees('1.5', (width: number) => own(width) + off))
        throw new Error('1.5 agrees although it is off');
  });

  test('1.6: the edge of the slit is N half wavelengths farther from the screen’s middle than the slit’s middle', () => {
    desk.begin(student);
    const w = given.slitWidth / 2;
    const screens = given.fresnelNumbers.map((n: number) => {
      const lag = (n * wavelength) / 2;
      return ((w * w - lag * lag) / (2 * lag)) * 1e3;
    });
    expectJudged(
      desk,
      '1.6',
      screens,
      screens.map((z: number) => percent(1, z)),
    );
  });

  test('1.7: Fresnel’s integral by Simpson’s rule', () => {
    desk.begin(student);
    const share = (z: number) => shareOfFar(given.slitWidth, z, wavelength) - given.reached;
    const distance = bisected(share, 0.05, 5) * 1e3;
    expectJudged(desk, '1.7', distance, percent(1, distance));
  });

  test('1.8: the spacing with the least sum of squares, by trying', () => {
    desk.begin(student);
    const squares = (d: number) =>
      given.sourceWidths.reduce((sum: number, width: number, i: number) => {
        const seen = Math.abs(summedContrast(width, d, f1, wavelength));
        return sum + (given.contrasts[i] - seen) ** 2;
      }, 0);
    const tries = Array.from({ length: 80 }, (_, i) => 250e-6 + i * 5e-6);
    const best = tries.reduce((a, c) => (squares(c) < squares(a) ? c : a));
    const found = lowest(squares, best - 8e-6, best + 8e-6) * 1e6;
    expectJudged(desk, '1.8', found, percent(2, found));
  });
});
