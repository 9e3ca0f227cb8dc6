import { describe, expect, test } from 'vitest';
import { chromaticity, illuminant, xyz } from '../../kernel-lib/index';
import key from '../../worksheets/02-one-slit/key';
import { runModel } from '../worksheets/run-model';
import { textOf } from '../worksheets/text-of';
import { expectedOf } from './expected-of';
import { simpson } from './plain-ways';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const { question, expected } = expectedOf(key);
const model = (ids: string[], name: string, given: object, more = {}) =>
  runModel(key.model, ids, name, { given, directions: [-0.01, 0, 0.01], ...more });
const degree = Math.PI / 180;

describe('2.1, first dark line', () => {
  test.each([
    { source: 'UP3 Ex 4.1, CP2 Ex 27.4', micrometres: 1.5556, printed: 20.7 },
    { source: 'UP3 section 4.1, check', micrometres: 1.8, printed: 17.8 },
    { source: 'UP3 Ex 4.2', micrometres: 2, printed: 16 },
  ])('$source: a = $micrometres µm, 550 nm gives $printed°', ({ micrometres, printed }) => {
    const given = { width: micrometres * 1e-6, wavelength: 550e-9 };
    expect(model(['2.1'], 'firstDarkLine', given)).toBeCloseTo(printed, 1);
    expect(expected('2.1', given) / degree).toBeCloseTo(printed, 1);
  });
});

test('2.2: half of the central band is the tangent of that angle, here 2 m behind a slit of 1.5556 µm', () => {
  const given = { width: 1.5556e-6, wavelength: 550e-9, focalLength: 2 };
  // tan 20.705° by hand: 0.37798.
  expect(model(['2.1', '2.2'], 'bandWidth', given)).toBeCloseTo(4000 * 0.37798, 0);
  expect(expected('2.2', given)).toBeCloseTo(4 * 0.37798, 3);
});

describe('2.3, intensity', () => {
  const given = { width: 2e-6, wavelength: 550e-9 };
  const intensity = model(['2.3'], 'intensity', given);
  const asked = question('2.3');

  test('UP3 Ex 4.2: in angle midway between the dark lines at 15.96° and 33.37°, 0.044', () => {
    const s = Math.sin(((15.96 + 33.37) / 2) * degree);
    expect(intensity(s)).toBeCloseTo(0.044, 3);
    expect(asked.kind === 'function' && asked.expected(given, s)).toBeCloseTo(0.044, 3);
  });

  test('is 1 in the centre and half at 0.442946 λ/a (half of the known full width 0.885893 λ/a)', () => {
    expect(intensity(0)).toBe(1);
    expect(intensity((0.4429465 * 550e-9) / 2e-6)).toBeCloseTo(0.5, 6);
  });
});

test('2.4: side maxima at 1.430297 and 2.459024 λ/a, 0.04719 and 0.01648 high (roots of tan β = β)', () => {
  const given = { width: 50e-6, wavelength: 500e-9 };
  const angles: number[] = model(['2.4'], 'sideMaxima', given);
  const sines = angles.map((angle) => Math.sin(angle / 1000) / 0.01);
  expect(sines[0]).toBeCloseTo(1.430297, 6);
  expect(sines[1]).toBeCloseTo(2.459024, 6);
  (expected('2.4', given) as readonly number[]).forEach((angle, i) => {
    expect(angle * 1000).toBeCloseTo(angles[i], 9);
  });
  const intensity = model(['2.3'], 'intensity', given);
  expect(intensity(sines[0] * 0.01)).toBeCloseTo(0.0471904, 7);
  expect(intensity(sines[1] * 0.01)).toBeCloseTo(0.01648, 7);
});

test('2.5: the whole central band holds (2/π) Si(2π) = 0.90282 of the light (Si(2π) = 1.41815 from memory)', () => {
  const given = { width: 50e-6, wavelength: 500e-9, focalLength: 0.3 };
  const opening = 2 * 0.3 * Math.tan(Math.asin(0.01));
  const share = (2 / Math.PI) * 1.41815;
  expect(expected('2.5', { ...given, opening })).toBeCloseTo(share, 4);
  expect(model(['2.3', '2.5'], 'shareThrough', { ...given, opening })).toBeCloseTo(100 * share, 2);
});

describe('2.6, colour where a green cancels: plain sums in numpy, worksheet-02.py', () => {
  const daylightColour = (kept: (wavelength: number) => number) => {
    const { wavelengths, power } = illuminant('D65').continuum!;
    const left = wavelengths.map((wavelength, i) => power[i] * kept(wavelength));
    return [
      ...chromaticity(xyz({ name: 'what is left', continuum: { wavelengths, power: left } })),
    ];
  };

  const table = [
    { nanometres: 530, x: 0.37337, y: 0.17766, coarse: [0.37337, 0.17784], darker: 122.9 },
    { nanometres: 535, x: 0.34629, y: 0.15904, coarse: [0.3463, 0.15923], darker: 138.7 },
    { nanometres: 540, x: 0.31977, y: 0.14302, coarse: [0.3198, 0.14323], darker: 154.6 },
    { nanometres: 545, x: 0.29445, y: 0.12988, coarse: [0.2945, 0.13009], darker: 169.4 },
    { nanometres: 550, x: 0.27088, y: 0.11975, coarse: [0.27094, 0.11996], darker: 181.7 },
    { nanometres: 555, x: 0.24943, y: 0.1126, coarse: [0.2495, 0.11281], darker: 190.0 },
  ];

  test.each(table)('$nanometres nm: $x, $y', ({ nanometres, x, y, coarse }) => {
    const given = { cancelled: nanometres * 1e-9 };
    for (const colour of [
      expected('2.6', given) as readonly number[],
      model(['2.6'], 'colourThere', given, { daylightColour }),
    ]) {
      // Straight lines between every fifth nanometre lie above a curve as hollow as sin² β/β² is here: that is
      // the whole difference of 2e-4 from a sum in steps of 1 nm.
      expect(Math.abs(colour[0] - coarse[0])).toBeLessThan(2e-5);
      expect(Math.abs(colour[1] - coarse[1])).toBeLessThan(2e-5);
      expect(Math.hypot(colour[0] - x, colour[1] - y)).toBeLessThan(2.4e-4);
      expect(Math.hypot(colour[0] - x, colour[1] - y)).toBeGreaterThan(1.6e-4);
    }
  });

  test('the text tells of that difference where the function is met', () => {
    expect(textOf(key.sheet.name, '2-6-text')).toMatch(
      /every fifth nanometre.*0\.0002.*asked for/s,
    );
  });

  test('2.9: how bright it is there, told the same way by model answer, mark scheme and instructor’s page', () => {
    const darker = table.map((each) => each.darker);
    expect(Math.min(...darker)).toBeGreaterThan(120);
    expect(Math.max(...darker)).toBeLessThan(191);
    const [model29, page] = [key.model['2-9-written'], key.instructor];
    const scheme = key.schemes['2.9'].map(({ point }) => point).join(' ');
    for (const text of [model29, page, scheme]) {
      expect(text.match(/1\/\d\d\d?/g)).toEqual(['1/120', '1/190']);
      expect(text).not.toMatch(/hundredth/);
    }
  });
});

test('2.5: s beyond ±1 holds about one part in a thousand of the area λ/a, as the text says', () => {
  // The narrowest slit in the longest wavelength, and the widest in the shortest; tail of sinc² by its series.
  for (const [width, wavelength] of [
    [40e-6, 555e-9],
    [80e-6, 510e-9],
  ]) {
    const u = width / wavelength;
    const inside =
      2 * simpson((v) => (v === 0 ? 1 : Math.sin(Math.PI * v) / (Math.PI * v)) ** 2, 0, u, 20_000);
    expect(1 - inside).toBeGreaterThan(0.5e-3);
    expect(1 - inside).toBeLessThan(1.5e-3);
  }
  expect(textOf(key.sheet.name, '2-5-text')).toMatch(/small angles.*one part in a thousand/s);
});

test('2.7, 2.8: exact readings give the width back, and its parts add up in squares (JCGM 100:2008, 5.1.2, from memory)', () => {
  const orders = [-4, -3, -2, -1, 1, 2, 3, 4];
  const given = {
    focalLength: 0.3,
    wavelength: 500e-9,
    orders,
    readings: orders.map((m) => 0.04 + m * 0.0025),
    readingUncertainty: 0.0775e-3,
    focalLengthUncertainty: 0.003,
    wavelengthUncertainty: 10e-9,
  };
  // fλ/step = 0.3 × 500 nm / 2.5 mm = 60 µm. Parts 0.4 %, 1 %, 2 %: slope 0.0775/√60 mm of 2.5 mm.
  expect(expected('2.7', given)).toBeCloseTo(60e-6, 12);
  expect(model(['2.7'], 'unlabelledWidth', given)).toBeCloseTo(60, 6);
  const u = 60 * Math.sqrt(0.004 ** 2 + 0.01 ** 2 + 0.02 ** 2);
  expect(model(['2.7', '2.8'], 'widthUncertainty', given)).toBeCloseTo(u, 3);
  expect(expected('2.8', given) * 1e6).toBeCloseTo(u, 3);
});
