import { describe, expect, test } from 'vitest';
import {
  curveFromExposures,
  curveFromWedge,
  exposurePairs,
} from '../../../kernel-lib/fitting/picture/camera-curve';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { greyPicture } from './known-pictures';

/** The standard's curve, IEC 61966-2-1 (from memory), and that of a camera with an exponent. */
const curves: Record<string, (light: number) => number> = {
  standard: (v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055),
  'exponent 1.8': (v) => v ** (1 / 1.8),
  steeper: (v) => {
    const c = v ** (1 / 2.2);
    return c - (0.15 * Math.sin(2 * Math.PI * c)) / (2 * Math.PI);
  },
};

describe.each(Object.entries(curves))('%s', (_, curve) => {
  test('two exposures tell the ratios of light to 3 %', () => {
    const light = Array.from({ length: 120 }, (_, k) => 0.004 * 1.035 ** k).filter((v) => v < 0.25);
    const [darker, brighter] = [light.map(curve), light.map((v) => curve(4 * v))];
    const found = curveFromExposures({ darker, brighter, ratio: 4 });
    const at = (code: number) => {
      const k = Math.min(63, Math.floor(code * 64));
      return found.light[k] + (code * 64 - k) * (found.light[k + 1] - found.light[k]);
    };
    for (const [a, b] of [
      [0.1, 0.2],
      [0.1, 0.6],
      [0.3, 0.9],
    ]) {
      const ratio = at(curve(b)) / at(curve(a));
      expect(Math.abs(ratio / (b / a) - 1)).toBeLessThan(0.03);
    }
    expect(found.u).toBeLessThan(0.02);
  });
});

test('pairs from two pictures of one scene: the median code to each code', () => {
  const card = (factor: number) =>
    greyPicture(60, 4, (x, y) => factor * (20 + x) + (y === 0 ? 9 : 0));
  const { darker, brighter, ratio } = exposurePairs(card(1), card(2), 2);
  expect(ratio).toBe(2);
  const k = darker.findIndex((code) => Math.abs(code - 50 / 255) < 1e-9);
  expect(brighter[k]).toBeCloseTo(100 / 255, 6);
  expect(() =>
    exposurePairs(
      card(1),
      greyPicture(61, 4, () => 9),
      2,
    ),
  ).toThrow(/60 × 4 and 61 × 4/);
});

test('a wedge: straight between its steps, and pictures are read by it', () => {
  const curve = curveFromWedge([0.2, 0.4, 0.8], [1, 4, 16]);
  expect(curve.codes).toEqual([0, 0.2, 0.4, 0.8, 1]);
  // From 4 to 16 in 0.4: 30 in a unit of code, so 22 at 1.
  for (const [k, light] of [0, 1 / 22, 4 / 22, 16 / 22, 1].entries()) {
    expect(curve.light[k]).toBeCloseTo(light, 12);
  }
  const bytes = greyPicture(12, 3, () => 102);
  const { y } = pictureProfile(bytes, { pixel: 1, tilt: 0, curve });
  for (const value of y) expect(value).toBeCloseTo(4 / 22, 6);
});

test('what is no curve is refused', () => {
  expect(() => curveFromWedge([0.2, 0.4, 0.8], [1, 4, 3])).toThrow(/must rise/);
  expect(() => curveFromExposures({ darker: [0.1], brighter: [0.2], ratio: 2 })).toThrow(
    /1 of 1 places are neither dark nor full/,
  );
  expect(() => curveFromExposures({ darker: [0.1], brighter: [0.2], ratio: 1 })).toThrow(
    /ratio is 1/,
  );
  const bytes = greyPicture(12, 3, () => 102);
  expect(() => pictureProfile(bytes, { pixel: 1, curve: -1 })).toThrow(/exponent of the camera/);
});
