import { describe, expect, test } from 'vitest';
import {
  filmStrip,
  fresnelIntegrals,
  fresnelNumber,
  laser,
  nearField,
  slits,
  visibility,
} from '../../kernel-lib/index';
import key from '../../worksheets/01-a-parallel-beam/key';
import { runModel } from '../worksheets/run-model';
import { textOf } from '../worksheets/text-of';
import { expectedOf } from './expected-of';
import { lowest, row, simpson } from './plain-ways';

const { question, expected } = expectedOf(key);
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
    expect(expected('1.2', given) * 206264.806).toBeCloseTo(41.253, 3);
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
  expect(expected('1.8', given) * 1e6).toBeCloseTo(450, 3);
  expect(model(['1.8'], 'unlabelledSpacing', given)).toBeCloseTo(450, 3);
});

describe('1.4, 1.5: angle, sine and tangent are said to be one number there', () => {
  test('the largest source slit and the coarsest fringes that are drawn differ by less than a millionth', () => {
    // 555 nm / 300 µm, the largest λ/d of all givens; the source slit is seen just as wide.
    const angle = 555e-9 / 300e-6;
    expect(Math.asin(angle) / angle - 1).toBeLessThan(1e-6);
    expect(1 - (2 * Math.atan(angle / 2)) / angle).toBeLessThan(1e-6);
    expect(textOf(key.sheet.name, '1-4-text')).toMatch(/small.*less than a millionth/s);
  });

  test('in 1.5 that changes no contrast by 0.0001: all parts of a slit up to 2.4 times as wide, by exact geometry', () => {
    const [wavelength, f1, d] = [555e-9, 0.3, 300e-6];
    for (const share of [0.3, 1.2, 2.4]) {
      const b = (share * wavelength * f1) / d;
      const exact =
        simpson(
          (y) => Math.cos((2 * Math.PI * d * Math.sin(Math.atan(y / f1))) / wavelength),
          -b / 2,
          b / 2,
        ) / b;
      const v = Math.PI * share;
      expect(Math.abs(Math.abs(exact) - Math.abs(Math.sin(v) / v))).toBeLessThan(1e-4);
    }
    expect(textOf(key.sheet.name, '1-5-text')).toMatch(/small angles.*less than 0\.0001/s);
  });
});

describe('1.9 (a), a lamp one metre away and a camera focused for infinity', () => {
  const text = textOf(key.sheet.name, '1-9-text');
  const lag = (x: number, distance: number) => (x * x) / (2 * distance);
  /** Light on the film, relative to that of a parallel beam in the middle: waves added up with their lag. */
  const film =
    (centres: readonly number[], width: number, wavelength: number, distance: number) =>
    (s: number) => {
      let [re, im] = [0, 0];
      for (const centre of centres)
        for (let k = 0; k < 40; k++) {
          const x = centre + ((k + 0.5) / 40 - 0.5) * width;
          const phase = (2 * Math.PI * (lag(x, distance) - x * s)) / wavelength;
          re += Math.cos(phase);
          im += Math.sin(phase);
        }
      return (re * re + im * im) / (40 * centres.length) ** 2;
    };

  test('a pair in the middle of the beam would lose nothing: its contrast is 0.998', () => {
    const light = film(row(2, 450e-6), 150e-6, 532e-9, 1);
    const dark = light(lowest(light, 0.4e-3, 0.8e-3));
    expect((light(0) - dark) / (light(0) + dark)).toBeCloseTo(0.998, 3);
    expect(key.instructor).toMatch(/0\.998/);
  });

  test('the row that the question speaks of is smeared: light everywhere, nothing brighter than an eighth of a line', () => {
    const [, count, apart] = text
      .match(/row of (\d+) narrow slits, ([\d.]+) mm apart/)!
      .map(Number);
    const [, wide] = text.match(/the row is ([\d.]+) mm wide/)!.map(Number);
    const [spacing, wavelength] = [apart / 1e3, 532e-9];
    const width = spacing / 4;
    expect((count - 1) * spacing + width).toBeCloseTo(wide / 1e3, 4);
    const places = Array.from(
      { length: 401 },
      (_, i) => (i / 200 - 1) * (wavelength / spacing / 2),
    );
    const near = places.map(film(row(count, spacing), width, wavelength, 1));
    const parallel = places.map(film(row(count, spacing), width, wavelength, Infinity));
    expect(Math.max(...near)).toBeLessThan(1 / 7);
    expect(Math.max(...near)).toBeGreaterThan(1 / 9);
    // Light where the sharp line of order 0 should be, between its dark lines, of that in one whole order.
    const inLine = (light: readonly number[]) =>
      light.reduce(
        (sum, each, i) => sum + (Math.abs(places[i]) < wavelength / (count * spacing) ? each : 0),
        0,
      ) / light.reduce((sum, each) => sum + each);
    expect(inLine(parallel)).toBeGreaterThan(0.85);
    expect(inLine(near)).toBeLessThan(0.2);
    // “spread over the whole film”: each eighth of an order holds some.
    const all = near.reduce((a, b) => a + b);
    for (let part = 0; part < 8; part++) {
      const held = near.slice(part * 50, (part + 1) * 50).reduce((a, b) => a + b) / all;
      expect(held).toBeGreaterThan(0.05);
      expect(held).toBeLessThan(0.25);
    }
    // The row, seen from the lamp, is wider than the way from line to line: 3 mrad, 2.7 mrad.
    expect(((count - 1) * spacing) / 1).toBeGreaterThan(wavelength / spacing);
    const answer = key.model['1-9-written'];
    expect(answer).toMatch(/3 mrad.*2\.7 mrad.*an eighth/s);
    // The number that the scheme asks for.
    expect(lag(1.5e-3, 1) / wavelength).toBeCloseTo(2.1, 1);
    // The instructor's page: a screen one metre behind the row in a parallel beam shows the same picture.
    const screen = nearField(slits(count, { width, spacing }), wavelength, 1, [0, 3e-4, 9e-4]);
    const same = [0, 3e-4, 9e-4].map(film(row(count, spacing), width, wavelength, 1));
    for (const i of [1, 2]) expect(screen[i] / screen[0]).toBeCloseTo(same[i] / same[0], 2);
    // Both cures work: as far away as 1.3 says, or with the lens (a parallel beam).
    const far = film(row(count, spacing), width, wavelength, 3e-3 ** 2 / (8 * (wavelength / 16)));
    expect(far(0)).toBeGreaterThan(0.9);
  });
});
