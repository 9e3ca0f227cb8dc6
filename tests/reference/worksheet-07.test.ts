import { encode } from 'fast-png';
import { beforeAll, describe, expect, test } from 'vitest';
import { seeded } from '../../kernel-lib/index';
import { drawFor } from '../../kernel-lib/questions/draw';
import {
  type Bench,
  type Given,
  givens,
  onBench,
} from '../../worksheets/07-your-own-pattern/given';
import key from '../../worksheets/07-your-own-pattern/key';
import { runModel } from '../worksheets/run-model';
import { textOf } from '../worksheets/text-of';
import { expectedOf } from './expected-of';
import { addedUp, lowest, plainFit, row } from './plain-ways';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const { question, expected } = expectedOf(key);
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

test('7.3: marks 25 pixels apart: 400 µm each; five of them read to 0.5 pixels: u = 0.5/√10 pixels of 25', () => {
  const given = { marks: [10, 35, 60, 85, 110], markUncertainty: 0.5 };
  const asked = question('7.3');
  const u = (400e-6 * 0.5) / Math.sqrt(10) / 25;
  expect(expected('7.3', given)).toBeCloseTo(400e-6, 12);
  expect(asked.kind === 'number' && asked.uncertainty?.(given)).toBeCloseTo(u, 12);
  const pixel = model(['7.3'], 'pixel', given);
  expect(pixel.value).toBeCloseTo(400, 9);
  expect(pixel.u).toBeCloseTo(u * 1e6, 9);
});

// Encoded and linear values on which culori, colorjs.io and color-space agree (IEC 61966-2-1).
test.each([
  { encoded: 0.5445483, light: 0.2576156 },
  { encoded: 0.7138221, light: 0.4679249 },
  { encoded: 0.4188879, light: 0.1464925 },
  { encoded: 0.04045, light: 0.0031308 },
])('7.4: $encoded of the largest code is $light of the light', ({ encoded, light }) => {
  const asked = question('7.4');
  const own = asked.kind === 'function' && asked.expected({}, 255 * encoded);
  expect(own).toBeCloseTo(light, 6);
  const noCard = { greyTimes: [0.002, 0.004], greyCodes: [40, 60] };
  expect(model(['7.4'], 'linear', noCard)(255 * encoded)).toBeCloseTo(light, 6);
});

describe('7.2, is the screen far', () => {
  test('by hand: half of 4 × 120 µm + 40 µm is 260 µm; squared, by 650 nm and 2 m, 0.052', () => {
    const given = { label: 120e-6, wavelength: 650e-9, distance: 2 };
    expect(expected('7.2', given)).toBeCloseTo(0.052, 12);
    expect(model(['7.2'], 'fresnel', given)).toBeCloseTo(0.052, 12);
  });

  // The nearest and widest that the givens allow, by adding up waves with their true ways to the screen.
  const [spacing, width, wavelength, distance] = [170e-6, 50e-6, 635e-9, 1.8];
  const onScreen = (x: number) => {
    let [re, im] = [0, 0];
    for (const centre of row(5, spacing))
      for (let k = 0; k < 40; k++) {
        const across = x - centre - ((k + 0.5) / 40 - 0.5) * width;
        const phase = ((2 * Math.PI) / wavelength) * (Math.hypot(across, distance) - distance);
        re += Math.cos(phase);
        im += Math.sin(phase);
      }
    return (re * re + im * im) / 200 ** 2;
  };

  test('there the number is 0.12, and the screen differs from one far away by 1 % of the brightest light', () => {
    const w = (4 * spacing + spacing / 3) / 2;
    expect(w ** 2 / (wavelength * distance)).toBeCloseTo(0.119, 3);
    const far = addedUp(row(5, spacing), width, wavelength, 40);
    const reach = (1.35 * wavelength * distance) / width;
    const places = Array.from({ length: 801 }, (_, i) => reach * (i / 400 - 1));
    const near = places.map(onScreen);
    const brightest = Math.max(...near);
    const misses = places.map((x, i) =>
      Math.abs(near[i] / brightest - far(x / Math.hypot(x, distance))),
    );
    expect(Math.max(...misses)).toBeGreaterThan(0.007);
    expect(Math.max(...misses)).toBeLessThan(0.011);
    // “mostly where the dark lines fill in”
    expect(far(places[misses.indexOf(Math.max(...misses))] / distance)).toBeLessThan(0.02);

    // A fit that takes the screen for far: width 0.15 % too large, spacing right to 0.03 %.
    const model = ([height, ground, d, a]: readonly number[]) => {
      const at = addedUp(row(5, d), a, wavelength, 40);
      return places
        .filter((_, i) => i % 4 === 0)
        .map((x) => ground + height * at(x / Math.hypot(x, distance)));
    };
    const seen = near.filter((_, i) => i % 4 === 0);
    const { p } = plainFit(model, seen, () => 0.01, [brightest, 0, spacing, width], 12);
    expect(p[3] / width - 1).toBeGreaterThan(0.0012);
    expect(p[3] / width - 1).toBeLessThan(0.0016);
    expect(Math.abs(p[2] / spacing - 1)).toBeLessThan(0.0003);
  });

  test('text and instructor’s page say these numbers, and the lag at the rim is N half wavelengths', () => {
    const w = 368e-6;
    const lag = Math.hypot(w, distance) - distance;
    expect(lag / (wavelength / 2)).toBeCloseTo(w ** 2 / (wavelength * distance), 4);
    expect(textOf(key.sheet.name, '7-2-text')).toMatch(/0\.12 by up to 1 %.*0\.15 %/s);
    expect(key.instructor).toMatch(/0\.12 .*1 %.*0\.15 %.*0\.02 %/);
  });
});

describe('7.4, a grey card tells whether the camera keeps to the standard', () => {
  // IEC 61966-2-1, as written in the question.
  const light = (code: number) =>
    code <= 0.04045 * 255 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;

  test.each(['000000', '204117', '1234', '9999', '31415926'])('student %s', (student) => {
    const { greyTimes, greyCodes } = givens(drawFor(key.sheet.name, student));
    expect(greyTimes).toHaveLength(6);
    const perSecond = greyCodes.map((code, i) => light(code) / greyTimes[i]);
    const mean = perSecond.reduce((a, b) => a + b) / 6;
    for (const each of perSecond) expect(Math.abs(each / mean - 1)).toBeLessThan(0.04);
    // Taken for light the codes are far from it, and a camera with another curve would be seen.
    const asCodes = greyCodes.map((code, i) => code / greyTimes[i]);
    expect(asCodes[0] / asCodes[5]).toBeGreaterThan(5);
    expect(asCodes[0] / asCodes[5]).toBeLessThan(7);
    const plainPower = greyCodes.map((code, i) => (code / 255) ** 1.8 / greyTimes[i]);
    expect(plainPower[0] / plainPower[5]).toBeGreaterThan(1.25);
  });
});

test('7.3: the fading of the envelope pulls bright lines inward by up to 2 %', () => {
  for (const count of [3, 4, 5])
    for (const ratio of [2.6, 3.4]) {
      const at = addedUp(row(count, ratio * 1e-4), 1e-4, 650e-9, 60);
      const unit = 650e-9 / (ratio * 1e-4);
      const bright = lowest((s) => -at(s), 0.9 * unit, 1.1 * unit) / unit;
      expect(bright).toBeLessThan(1);
      expect(bright).toBeGreaterThan(0.9795);
    }
});

/** Light of four slits by adding up the waves of many points in them, as Huygens did; 1 in the middle. */
function fourSlits(s: number, wavelength: number, spacing: number, width: number): number {
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

describe('7.5 to 7.8, a photograph of four slits made here: waves added up point by point, sRGB by hand, noise', () => {
  const [wavelength, distance, spacing, width, size] = [650e-9, 2, 120e-6, 42e-6, 250e-6];
  const bench = { count: 4, spacing, width, pixel: size, exposure: 0.9 };
  let given: Given;

  beforeAll(() => {
    const random = seeded('noise');
    const across = Array.from({ length: 320 }, (_, i) => {
      const s = Math.sin(Math.atan(((i - 159.5) * size) / distance));
      return 0.02 + 0.9 * fourSlits(s, wavelength, spacing, width);
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
        ...{ greyTimes: [0.002, 0.004], greyCodes: [40, 60] },
      } as Given,
      bench as Bench,
    );
  });

  test('number, spacing and width come back', () => {
    expect(expected('7.5', given)).toBe(4);
    expect(model(['7.3', '7.5'], 'slitCount', given)).toBe(4);
    const [d, a] = model(['7.3', '7.5', '7.6'], 'spacingAndWidth', given);
    expect(Math.abs(d / 120 - 1)).toBeLessThan(0.001);
    expect(Math.abs(a / 42 - 1)).toBeLessThan(0.003);
    expect(expected('7.6', given)).toEqual([spacing, width]);
  });

  test('without the curve the width is too small, and sheet and model say by how much', () => {
    const percent = model(['7.3', '7.5', '7.6', '7.7'], 'tooSmall', given);
    expect(percent).toBeGreaterThan(5);
    expect(100 * expected('7.7', given)).toBeCloseTo(percent, 2);
    const steps = ['7.3', '7.5', '7.6', '7.7'];
    expect(model(steps, 'wrongFit.spacing.value', given) / spacing).toBeCloseTo(1, 2);
  });

  test('the uncertainties of wavelength, distance and scale add up in squares (JCGM 100:2008, 5.1.2, from memory)', () => {
    expect(expected('7.8', given) * 1e6).toBeCloseTo(1.3 * 1.2, 3);
    const u = model(['7.3', '7.5', '7.6', '7.8'], 'spacingUncertainty', given);
    expect(Math.abs(u / (1.3 * 1.2) - 1)).toBeLessThan(0.01);
  });
});

test('what stood on the bench is not among the givens, and every drawing of them gives the same photograph', () => {
  const drawn = () => givens(drawFor(key.sheet.name, '204117'));
  const { photograph, ...rest } = drawn();
  expect(drawn().photograph).toEqual(photograph);
  const [spacing, width] = expected('7.6', drawn());
  const told =
    JSON.stringify(rest)
      .match(/[\d.e-]+/g)
      ?.map(Number) ?? [];
  for (const hidden of [spacing, width])
    expect(told.some((number) => Math.abs(number / hidden - 1) < 1e-6)).toBe(false);
  expect(expected('7.6', givens(drawFor(key.sheet.name, '204117')))).toEqual([spacing, width]);
});
