import { describe, expect, test } from 'vitest';
import {
  filmStrip,
  fresnelIntegrals,
  fresnelNumber,
  laser,
  slits,
  visibility,
} from '../../kernel-lib/index';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import key from '../../worksheets/01-a-parallel-beam/key';
import { runModel } from '../worksheets/run-model';

const question = (id: string) =>
  (key.sealed[id] ?? key.sheet.questions.find((one) => one.id === id)) as AnyQuestion;
/** What sheet or key expects, in SI units. */
function expected(id: string, given: object): number | readonly number[] {
  const asked = question(id);
  if (asked.kind !== 'number' && asked.kind !== 'list') throw new Error(`${id} is ${asked.kind}`);
  return asked.expected(given);
}
const contrastAxes = { x: { quantity: 'b', unit: 'um' }, y: { quantity: 'V', unit: '1' } };
const model = (ids: string[], name: string, given: object) =>
  runModel(key.model, ids, name, { given, contrastAxes });

describe('1.1, 1.2, the source slit', () => {
  // By hand: 0.1 mm in front of 0.5 m is 0.2 mrad, 41.25″ (206 264.8″ to the radian), and 0.2 mm behind 1 m.
  const given = { sourceWidth: 1e-4, collimatorFocalLength: 0.5, focalLength: 1 };

  test('0.1 mm before 0.5 m is 0.2 mm behind 1 m, and 41.25 seconds of arc wide', () => {
    expect(model(['1.1'], 'imageWidth', given)).toBeCloseTo(200, 9);
    expect(expected('1.1', given)).toBeCloseTo(2e-4, 12);
    expect(model(['1.2'], 'sourceAngle', given)).toBeCloseTo(41.253, 3);
    expect((expected('1.2', given) as number) * 206264.806).toBeCloseTo(41.253, 3);
  });

  test('a film strip behind a very wide aperture shows that image, between its half heights', () => {
    const strip = filmStrip(slits(1, { width: 0.05 }), laser(540e-9), {
      ...given,
      span: 4e-4,
      points: 2001,
    });
    const bright = strip.positions.filter((_, i) => strip.total[i] > 0.5);
    expect(bright[bright.length - 1] - bright[0]).toBeCloseTo(2e-4, 6);
  });
});

describe('1.3, a bare source', () => {
  test.each([
    { beamWidth: 2e-3, parts: 10 },
    { beamWidth: 5e-3, parts: 20 },
  ])('beam $beamWidth m, 1/$parts wavelength: Pythagoras gives the same lag', (more) => {
    const given = { ...more, wavelength: 550e-9 };
    const distance = expected('1.3', given) as number;
    expect(model(['1.3'], 'bareDistance', given)).toBeCloseTo(distance, 9);
    const lag = Math.hypot(distance, more.beamWidth / 2) - distance;
    expect(lag / (550e-9 / more.parts)).toBeCloseTo(1, 5);
  });

  test('a bare source slit 12 m away is far enough for a beam of 2 mm (common practice, no source): better than λ/10', () => {
    const given = { beamWidth: 2e-3, parts: 10, wavelength: 550e-9 };
    expect(expected('1.3', given)).toBeLessThan(12);
    expect(expected('1.3', given)).toBeGreaterThan(6);
  });
});

describe('1.4, 1.5, contrast', () => {
  const given = {
    wavelength: 500e-9,
    collimatorFocalLength: 0.4,
    focalLength: 0.8,
    spacing: 400e-6,
    width: 20e-6,
  };
  const contrast = model(['1.5'], 'contrast', given);
  const asked = question('1.5');
  const zero = expected('1.4', given) as number;

  test('vanishes first at λf₁/d: 500 nm × 0.4 m / 0.4 mm = 0.5 mm', () => {
    expect(zero).toBeCloseTo(5e-4, 12);
    expect(model(['1.4'], 'vanishingWidth', given)).toBeCloseTo(500, 9);
    expect(contrast(zero)).toBeCloseTo(0, 12);
  });

  // Zeros of |sin πx/πx| − V: worked out with scipy beforehand.
  test.each([
    [0.25041, 0.9],
    [0.60335, 0.5],
  ])('at %f of that it is %f', (share, value) => {
    expect(contrast(share * zero)).toBeCloseTo(value, 4);
    expect(asked.kind === 'function' && asked.expected(given, share * zero)).toBeCloseTo(value, 4);
  });

  test.each([0.3, 0.8, 1.4])('a plain sum over the source slit says the same at %f', (share) => {
    const b = share * zero;
    const parts = 2000;
    const profile = Array.from({ length: 101 }, (_, k) => {
      let sum = 0;
      for (let i = 0; i < parts; i++) {
        const angle = (((i + 0.5) / parts - 0.5) * b) / 0.4;
        sum += Math.cos((Math.PI * 400e-6 * ((k / 100) * (500e-9 / 400e-6) - angle)) / 500e-9) ** 2;
      }
      return sum / parts;
    });
    expect(contrast(b)).toBeCloseTo(visibility(profile), 3);
  });

  test('the image of that source slit is as wide as one fringe, λf/d', () => {
    expect(expected('1.1', { ...given, sourceWidth: zero })).toBeCloseTo(
      (500e-9 * 0.8) / 400e-6,
      12,
    );
  });
});

test('1.6: screens with the Fresnel numbers asked for, w half of the width: 1 mm, 500 nm, 2 m gives 1', () => {
  const given = { slitWidth: 2e-3, wavelength: 500e-9, fresnelNumbers: [2, 1, 0.1] };
  const distances = expected('1.6', given) as readonly number[];
  expect(distances[0]).toBeCloseTo(1, 12);
  expect(distances[1]).toBeCloseTo(2, 12);
  expect(distances[2]).toBeCloseTo(20, 12);
  expect(model(['1.6'], 'screens', given).map((z: number) => z / 1000)).toEqual(
    distances.map((z) => expect.closeTo(z, 9)),
  );
  const slit = slits(1, { width: 2e-3 });
  distances.forEach((z, i) => {
    expect(fresnelNumber(slit, 500e-9, z)).toBeCloseTo(given.fresnelNumbers[i], 9);
  });
});

describe('1.7, where the far field begins', () => {
  const slit = { slitWidth: 400e-6, wavelength: 500e-9 };

  test('C(1) = 0.7798934, S(1) = 0.4382591 (scipy): at a²/2λ the share is C² + S² = 0.80030', () => {
    const given = { ...slit, reached: 0.7798934 ** 2 + 0.4382591 ** 2 };
    expect(expected('1.7', given)).toBeCloseTo(0.16, 6);
    expect(model(['1.7'], 'farDistance', given)).toBeCloseTo(160, 3);
    const { c, s } = fresnelIntegrals(1);
    expect(c * c + s * s).toBeCloseTo(given.reached, 6);
  });

  test('far away what is missing is 4π²N²/45, N the Fresnel number (from the series of C and S)', () => {
    const z = expected('1.7', { ...slit, reached: 0.999 }) as number;
    const number = 200e-6 ** 2 / (500e-9 * z);
    expect(((4 * Math.PI ** 2) / 45) * number ** 2).toBeCloseTo(0.001, 5);
  });
});

test('1.8: exact contrasts give the spacing back', () => {
  const [wavelength, collimatorFocalLength, spacing] = [540e-9, 0.4, 450e-6];
  const sourceWidths = Array.from({ length: 12 }, (_, i) => 60e-6 * (i + 1));
  const contrasts = sourceWidths.map((b) => {
    const v = (Math.PI * b * spacing) / (wavelength * collimatorFocalLength);
    return Math.abs(Math.sin(v) / v);
  });
  const given = {
    wavelength,
    collimatorFocalLength,
    sourceWidths,
    contrasts,
    contrastUncertainty: 0.01,
  };
  expect((expected('1.8', given) as number) * 1e6).toBeCloseTo(450, 3);
  expect(model(['1.8'], 'unlabelledSpacing', given)).toBeCloseTo(450, 3);
});
