import { encode } from 'fast-png';
import { beforeAll, describe, expect, test } from 'vitest';
import { seeded } from '../../kernel-lib/index';
import { drawFor } from '../../kernel-lib/questions/draw-for';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import { type Given, givens, onBench } from '../../worksheets/07-your-own-pattern/given';
import key from '../../worksheets/07-your-own-pattern/key';
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
const axis = { quantity: 'x', unit: 'mm' };
const axes = { x: axis, y: { quantity: 'light', unit: '1' } };
/** What the cell with the givens defines. */
const setUp = (given: Partial<Given>) => ({
  given,
  bench: { wavelength: given.wavelength, focalLength: given.distance },
  howToRead: { channel: 'red', band: { from: 0, to: 16 }, tilt: 0, vignetting: given.vignetting },
  axes,
  logAxes: axes,
  console: { log: () => {} },
});
const model = (ids: string[], name: string, given: Partial<Given>) =>
  runModel(key.model, ids, name, setUp(given));

test('7.1: UP3 Ex 3.1, CP2 Ex 27.1: 633 nm, third order of 0.0100 mm at 10.95°; here the first of a third of that, 2 m away', () => {
  const given = { wavelength: 633e-9, distance: 2, label: 1e-5 / 3 };
  // tan 10.95° = 0.19347.
  expect(expected('7.1', given)).toBeCloseTo(0.38694, 3);
  expect(model(['7.1'], 'toNextLine', given) / 1e3).toBeCloseTo(0.38694, 3);
});

test('7.2: marks 25 pixels apart: 400 µm each; five of them read to 0.5 pixels: u = 0.5/√10 pixels of 25', () => {
  const given = { marks: [10, 35, 60, 85, 110], markUncertainty: 0.5 };
  const asked = question('7.2');
  const u = (400e-6 * 0.5) / Math.sqrt(10) / 25;
  expect(expected('7.2', given)).toBeCloseTo(400e-6, 12);
  expect(asked.kind === 'number' && asked.uncertainty?.(given)).toBeCloseTo(u, 12);
  const pixel = model(['7.2'], 'pixel', given);
  expect(pixel.value).toBeCloseTo(400, 9);
  expect(pixel.u).toBeCloseTo(u * 1e6, 9);
});

// Encoded and linear values on which culori, colorjs.io and color-space agree (IEC 61966-2-1).
test.each([
  { encoded: 0.5445483, light: 0.2576156 },
  { encoded: 0.7138221, light: 0.4679249 },
  { encoded: 0.4188879, light: 0.1464925 },
  { encoded: 0.04045, light: 0.0031308 },
])('7.3: $encoded of the largest code is $light of the light', ({ encoded, light }) => {
  const asked = question('7.3');
  const own = asked.kind === 'function' && asked.expected({}, 255 * encoded);
  expect(own).toBeCloseTo(light, 6);
  expect(model(['7.3'], 'linear', {})(255 * encoded)).toBeCloseTo(light, 6);
});

/** Light of four slits by adding up the waves of many points in them, as Huygens did; 1 in the middle. */
function addedUp(s: number, wavelength: number, spacing: number, width: number): number {
  const points = 200;
  let [re, im] = [0, 0];
  for (let slit = 0; slit < 4; slit++)
    for (let k = 0; k < points; k++) {
      const place = slit * spacing + ((k + 0.5) / points) * width;
      re += Math.cos((2 * Math.PI * place * s) / wavelength);
      im += Math.sin((2 * Math.PI * place * s) / wavelength);
    }
  return (re * re + im * im) / (4 * points) ** 2;
}

describe('7.4 to 7.7, a photograph of four slits made here: waves added up point by point, sRGB by hand, noise', () => {
  const [wavelength, distance, spacing, width, size] = [650e-9, 2, 120e-6, 42e-6, 250e-6];
  const bench = { count: 4, spacing, width, pixel: size, exposure: 0.9 };
  let given: Given;

  beforeAll(() => {
    const random = seeded('noise');
    const across = Array.from({ length: 320 }, (_, i) => {
      const s = Math.sin(Math.atan(((i - 159.5) * size) / distance));
      return 0.02 + 0.9 * addedUp(s, wavelength, spacing, width);
    });
    const data = Uint8Array.from({ length: 320 * 16 * 3 }, (_, k) => {
      if (k % 3 > 0) return 0;
      const light = Math.max(across[Math.floor(k / 3) % 320] + 0.008 * random.normal(), 0);
      const code = light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
      return Math.min(255, Math.round(255 * code));
    });
    const photograph = encode({ width: 320, height: 16, channels: 3, depth: 8, data });
    // Relative uncertainties 0.3 %, 0.4 % and 1.2 % add up to 1.3 %.
    given = onBench(
      {
        ...{ wavelength, distance, photograph, vignetting: 0, label: 120e-6 },
        ...{ wavelengthUncertainty: 0.003 * wavelength, distanceUncertainty: 0.004 * distance },
        ...{ marks: [10, 50, 90], markUncertainty: 0.012 * 40 * Math.SQRT2 },
      },
      bench,
    );
  });

  test('number, spacing and width come back', () => {
    expect(expected('7.4', given)).toBe(4);
    expect(model(['7.2', '7.4'], 'slitCount', given)).toBe(4);
    const [d, a] = model(['7.2', '7.4', '7.5'], 'spacingAndWidth', given);
    expect(Math.abs(d / 120 - 1)).toBeLessThan(0.001);
    expect(Math.abs(a / 42 - 1)).toBeLessThan(0.003);
    expect(expected('7.5', given)).toEqual([spacing, width]);
  });

  test('without the curve the width is too small, and sheet and model say by how much', () => {
    const percent = model(['7.2', '7.4', '7.5', '7.6'], 'tooSmall', given);
    expect(percent).toBeGreaterThan(5);
    expect(100 * expected('7.6', given)).toBeCloseTo(percent, 2);
    const steps = ['7.2', '7.4', '7.5', '7.6'];
    expect(model(steps, 'wrongFit.spacing.value', given) / spacing).toBeCloseTo(1, 2);
  });

  test('the uncertainties of wavelength, distance and scale add up in squares (JCGM 100:2008, 5.1.2, from memory)', () => {
    expect(expected('7.7', given) * 1e6).toBeCloseTo(1.3 * 1.2, 3);
    const u = model(['7.2', '7.4', '7.5', '7.7'], 'spacingUncertainty', given);
    expect(Math.abs(u / (1.3 * 1.2) - 1)).toBeLessThan(0.01);
  });
});

test('what stood on the bench is not among the givens, and every drawing of them gives the same photograph', () => {
  const drawn = () => givens(drawFor(key.sheet.name, '204117'));
  const { photograph, ...rest } = drawn();
  expect(drawn().photograph).toEqual(photograph);
  const [spacing, width] = expected('7.5', drawn());
  const told =
    JSON.stringify(rest)
      .match(/[\d.e-]+/g)
      ?.map(Number) ?? [];
  for (const hidden of [spacing, width])
    expect(told.some((number) => Math.abs(number / hidden - 1) < 1e-6)).toBe(false);
  expect(expected('7.5', givens(drawFor(key.sheet.name, '204117')))).toEqual([spacing, width]);
});
