import { describe, expect, test } from 'vitest';
import { missingOrders, slits } from '../../kernel-lib/index';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import key from '../../worksheets/03-two-slits/key';
import { runModel } from '../worksheets/run-model';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const question = (id: string) =>
  (key.sealed[id] ?? key.sheet.questions.find((one) => one.id === id)) as AnyQuestion;
/** What sheet or key expects, in SI units. */
function expected(id: string, given: object): number | readonly number[] {
  const asked = question(id);
  if (asked.kind !== 'number' && asked.kind !== 'list') throw new Error(`${id} is ${asked.kind}`);
  return asked.expected(given);
}
const axes = { x: { quantity: 'x', unit: 'mm' }, y: { quantity: 'brightness', unit: 'counts' } };
const model = (ids: string[], name: string, given: object) =>
  runModel(key.model, ids, name, { given, directions: [-0.01, 0, 0.01], axes });

test('3.1: UP3 Ex 3.1, CP2 Ex 27.1: 0.0100 mm apart, third order, 633 nm at 10.95°', () => {
  const given = { spacing: 1e-5, wavelength: 633e-9, order: 3 };
  expect(model(['3.1'], 'orderAngle', given)).toBeCloseTo(10.95, 2);
  expect(((expected('3.1', given) as number) * 180) / Math.PI).toBeCloseTo(10.95, 2);
});

test('3.2: with the bar as wide as a slit, three fringes: orders −1, 0, +1, since ±2 lie on the dark lines (common practice, no source)', () => {
  const given = { width: 40e-6, spacing: 79.9e-6 };
  expect(expected('3.2', given)).toBe(3);
  expect(model(['3.2'], 'fringeCount', given)).toBe(3);
});

describe('3.3, intensity', () => {
  const given = { width: 2e-6, spacing: 6e-6, wavelength: 550e-9 };
  const intensity = model(['3.3'], 'intensity', given);
  const asked = question('3.3');
  const own = (s: number) => asked.kind === 'function' && asked.expected(given, s);

  test('is 1 in the centre, 0 where the slits differ by half a wavelength, 0 at the missing third order', () => {
    expect(intensity(0)).toBe(1);
    for (const f of [intensity, own]) {
      expect(f((0.5 * 550e-9) / 6e-6)).toBeCloseTo(0, 12);
      expect(f((3 * 550e-9) / 6e-6)).toBeCloseTo(0, 12);
    }
  });

  test('on a fringe it has the height of one slit: 0.044 in the direction of UP3 Ex 4.2', () => {
    const s = Math.sin((((15.96 + 33.37) / 2) * Math.PI) / 180);
    const onThird = { ...given, spacing: (3 * 550e-9) / s };
    expect(model(['3.3'], 'intensity', onThird)(s)).toBeCloseTo(0.044, 3);
    expect(asked.kind === 'function' && asked.expected(onThird, s)).toBeCloseTo(0.044, 3);
  });
});

describe('3.4, missing orders', () => {
  test('a bar as wide as a slit removes the second order (common practice, no source)', () => {
    expect(expected('3.4', { width: 40e-6, missing: 2 })).toBeCloseTo(40e-6, 15);
  });

  test.each([3, 4, 5])('the bar asked for removes order %i first', (missing) => {
    const given = { width: 40e-6, missing };
    const bar = model(['3.4'], 'darkBar', given) * 1e-6;
    expect(expected('3.4', given)).toBeCloseTo(bar, 15);
    const pair = slits(2, { width: 40e-6, spacing: bar + 40e-6 });
    const positive = missingOrders(pair, 550e-9).filter((order) => order > 0);
    expect(positive[0]).toBe(missing);
  });
});

describe('3.5, width of the centre', () => {
  const far = { wavelength: 500e-9, focalLength: 0.4 };

  test('very narrow slits: cos² falls to one half at a quarter of a wavelength, so fλ/2d in full', () => {
    const given = { ...far, spacing: 100e-6, width: 0.1e-6 };
    expect((expected('3.5', given) as number) * 1e3).toBeCloseTo(1, 4);
    expect(model(['3.3', '3.5'], 'fringeWidth', given)).toBeCloseTo(1, 4);
  });

  test('slits that touch are one slit of twice the width: 0.885893 fλ/2a', () => {
    const given = { ...far, spacing: 50e-6, width: 50e-6 };
    const full = (0.885893 * 0.4 * 500e-9) / 100e-6;
    expect((expected('3.5', given) as number) / full).toBeCloseTo(1, 4);
    expect(model(['3.3', '3.5'], 'fringeWidth', given) / 1e3 / full).toBeCloseTo(1, 4);
  });
});

test('3.6: |sin v / v| is one half at v = 0.60335 π, as for the visibility with a slit source', () => {
  const given = { wavelength: 550e-9, passband: 55e-9 };
  expect(model(['3.6'], 'lastOrder', given)).toBeCloseTo(6.0335, 4);
  expect(expected('3.6', given)).toBeCloseTo(6.0335, 4);
});

test('3.7: spacing and width come back from a profile with known ones, within 0.5 %', () => {
  const [focalLength, wavelength] = [0.4, 550e-9];
  const [spacing, width, centre, noise] = [110e-6, 40e-6, 0.0002, 25];
  const reach = (1.3 * focalLength * wavelength) / width;
  const positions = Array.from({ length: 241 }, (_, i) => reach * (i / 120 - 1));
  const counts = positions.map((x, i) => {
    const s = Math.sin(Math.atan((x - centre) / focalLength));
    const beta = (Math.PI * width * s) / wavelength;
    const fringes = Math.cos((Math.PI * spacing * s) / wavelength) ** 2;
    // Alternating errors of one standard uncertainty, so that nothing is left to chance.
    return 120 + 3000 * fringes * (Math.sin(beta) / beta) ** 2 + (i % 2 === 0 ? noise : -noise);
  });
  const given = { focalLength, wavelength, profile: { positions, counts, noise } };
  for (const [d, a] of [
    (expected('3.7', given) as readonly number[]).map((each) => each * 1e6),
    model(['3.7'], 'unlabelledPair', given) as number[],
  ]) {
    expect(Math.abs(d / 110 - 1)).toBeLessThan(0.005);
    expect(Math.abs(a / 40 - 1)).toBeLessThan(0.005);
  }
});
