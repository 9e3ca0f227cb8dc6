import { describe, expect, test } from 'vitest';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import key from '../../worksheets/06-reading-the-spectrometer/key';
import { runModel } from '../worksheets/run-model';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const question = (id: string) =>
  (key.sealed[id] ?? key.sheet.questions.find((one) => one.id === id)) as AnyQuestion;
/** What sheet or key expects, in SI units. */
// biome-ignore lint/suspicious/noExplicitAny: a number or a list
function expected(id: string, given: object): any {
  const asked = question(id);
  if (asked.kind !== 'number' && asked.kind !== 'list') throw new Error(`${id} is ${asked.kind}`);
  return asked.expected(given);
}
/** The standard uncertainty that the sheet expects, in SI units. */
// biome-ignore lint/suspicious/noExplicitAny: a number or a list
function soundU(id: string, given: object): any {
  const asked = question(id);
  if (asked.kind !== 'number' && asked.kind !== 'list') throw new Error(`${id} is ${asked.kind}`);
  return asked.uncertainty?.(given);
}
const axes = { x: { quantity: 'x', unit: 'nm' }, y: { quantity: 'sin θ', unit: '1' } };
// What a cell prints is of no interest here.
const quiet = { console: { log: () => {} }, writeAngle: () => '' };
const model = (ids: string[], name: string, given: object) =>
  runModel(key.model, ids, name, { given, axes, ...quiet });
const degree = Math.PI / 180;
const dms = (degrees: number, minutes: number) => (degrees + minutes / 60) * degree;

test.each([
  { nanometres: 380, printed: 22.33 },
  { nanometres: 760, printed: 49.46 },
])(
  '6.1: UP3 Ex 4.5: 10 000 lines per cm, $nanometres nm at $printed°',
  ({ nanometres, printed }) => {
    const given = { label: 1e-6 };
    const asked = question('6.1');
    const own = asked.kind === 'function' && asked.expected(given, 1, nanometres * 1e-9);
    for (const angle of [own, model(['6.1'], 'lineAngle', given)(1, nanometres * 1e-9)])
      expect(angle / degree).toBeCloseTo(printed, 2);
  },
);

test('6.2: a circle in half degrees, its line 213° 30′ before the zero, vernier line 17: 213° 47′', () => {
  const given = { vernier: dms(213, 47) };
  expect(expected('6.2', given) / degree).toBeCloseTo(213 + 47 / 60, 9);
  expect(model(['6.2'], 'reading', given)).toBeCloseTo(213 + 47 / 60, 9);
});

test('6.3: by hand: means 57° 46′ and 335° 19′, so 82° 27′ from side to side and θ = 41° 13.5′', () => {
  const green = {
    left: { first: dms(57, 43), second: dms(237, 49) },
    right: { first: dms(335, 20), second: dms(155, 18) },
  };
  expect(expected('6.3', { green }) / degree).toBeCloseTo(41.225, 9);
  expect(model(['6.3'], 'greenAngle', { green })).toBeCloseTo(41.225, 9);
});

/** A setting whose half difference is the angle, around a zero that makes the circle pass 0°. */
const setting = (order: number, degrees: number) => ({
  order,
  left: (10 + degrees) * degree,
  right: ((370 - degrees) % 360) * degree,
});
const angles = [15.267, 31.763, 19.255, 41.285, 20.4, 44.175, 20.475, 44.395];
const known = [435.8336, 546.075, 576.961, 579.067].flatMap((nanometres, i) =>
  [1, 2].map((order) => ({
    ...setting(order, angles[2 * i + order - 1]),
    wavelength: nanometres * 1e-9,
  })),
);
const directionUncertainty = (24 / 3600) * degree;
/** By scipy's curve_fit, worksheet-06.py. */
const byScipy = { d: 1655.5697, u: 0.07249 };

describe('6.4, spacing', () => {
  test('the weighted fit of eight angles gives what scipy gives', () => {
    const given = { label: 1e-3 / 600, known, directionUncertainty };
    expect(expected('6.4', given) * 1e9).toBeCloseTo(byScipy.d, 3);
    expect(soundU('6.4', given) * 1e9).toBeCloseTo(byScipy.u, 4);
    const spacing = model(['6.4'], 'spacing', given);
    expect(spacing.value).toBeCloseTo(byScipy.d, 3);
    expect(spacing.u).toBeCloseTo(byScipy.u, 4);
  });

  test('UP3 Ex 4.5: its two printed angles give 10 000 lines per cm back', () => {
    const two = [
      { ...setting(1, 22.33), wavelength: 380e-9 },
      { ...setting(1, 49.46), wavelength: 760e-9 },
    ];
    const given = { label: 0.9e-6, known: two, directionUncertainty };
    expect(expected('6.4', given) * 1e9).toBeCloseTo(1000, 0);
    expect(model(['6.4'], 'spacing', given).value).toBeCloseTo(1000, 0);
  });
});

describe('6.5, wavelengths', () => {
  // Cd 643.8470 nm and its neighbours in air: NIST ASD, as stored (data/SOURCES.md).
  const lines = [479.9912, 508.5822, 643.847];
  const theta = lines.map((nanometres) => Math.asin((2 * nanometres) / byScipy.d) / degree);
  const given = {
    label: 1e-3 / 600,
    known,
    directionUncertainty,
    unknown: theta.map((degrees) => setting(2, degrees)),
  };

  test('exact angles give the tabulated lines back', () => {
    const found = model(['6.4', '6.5'], 'wavelengths', given);
    lines.forEach((nanometres, i) => {
      expect(expected('6.5', given)[i] * 1e9).toBeCloseTo(nanometres, 3);
      expect(found[i].value).toBeCloseTo(nanometres, 3);
    });
  });

  test('their uncertainty adds up in squares (JCGM 100:2008, 5.1.2, from memory)', () => {
    const found = model(['6.4', '6.5'], 'wavelengths', given);
    theta.forEach((degrees, i) => {
      const t = degrees * degree;
      const byAngle = (byScipy.d * Math.cos(t) * directionUncertainty) / Math.SQRT2 / 2;
      const u = Math.hypot(byAngle, (Math.sin(t) * byScipy.u) / 2);
      expect(soundU('6.5', given)[i] * 1e9).toBeCloseTo(u, 4);
      expect(found[i].u).toBeCloseTo(u, 4);
      if (i < 2) return;
      expect(expected('6.7', given)).toBeCloseTo((byAngle / u) ** 2, 3);
      expect(model(['6.4', '6.5', '6.7'], 'angleShare', given)).toBeCloseTo(
        100 * (byAngle / u) ** 2,
        1,
      );
    });
  });

  test('6.6: these are cadmium’s, and 434.05, 486.14 and 656.28 nm hydrogen’s (from memory)', () => {
    const asked = question('6.6');
    const accepted = (more: object) =>
      asked.kind === 'word' ? asked.accepts({ ...given, ...more }) : [];
    expect(accepted({})).toContain('cadmium');
    expect(model(['6.4', '6.5', '6.6'], 'lampName', given)).toBe('cadmium');
    const balmer = [434.05, 486.14, 656.28].map((nanometres) =>
      setting(2, Math.asin((2 * nanometres) / byScipy.d) / degree),
    );
    expect(accepted({ unknown: balmer })).toContain('hydrogen');
    expect(model(['6.4', '6.5', '6.6'], 'lampName', { ...given, unknown: balmer })).toBe(
      'hydrogen',
    );
  });
});

test('6.8: sin θi = 0.2 and 2λ/d = 0.6 by a table of sines: 53.130° and −23.578°, half 38.354°, so 564.8 nm', () => {
  // d = 2 × 546.075 nm / 0.6 = 1820.25 nm; 1820.25 nm × 0.62054 / 2.
  const given = { label: 1820.25e-9, tilt: Math.asin(0.2) };
  expect(expected('6.8', given) * 1e9).toBeCloseTo(564.77, 1);
  expect(model(['6.8'], 'foundTilted', given)).toBeCloseTo(564.77, 1);
  expect(expected('6.8', { ...given, tilt: 0 }) * 1e9).toBeCloseTo(546.075, 6);
});
