import { describe, expect, test } from 'vitest';
import { linearFromSrgb, srgbFromLinear } from '../../../kernel-lib/fitting/picture/srgb-curve';

// Linear values of 8-bit codes as tables of the standard print them (IEC 61966-2-1, from memory).
const table = [
  [0, 0],
  [10, 0.003035],
  [11, 0.003347],
  [64, 0.051269],
  [128, 0.215861],
  [188, 0.502886],
  [255, 1],
] as const;

describe('the sRGB curve', () => {
  test.each(table)('code %i of 255 is %d of full irradiance', (code, linear) => {
    expect(linearFromSrgb(code / 255)).toBeCloseTo(linear, 6);
    expect(255 * srgbFromLinear(linear)).toBeCloseTo(code, 2);
  });

  test('0.2576156, 0.4679249, 0.1464925 are codes 0.5445483, 0.7138221, 0.4188879', () => {
    // Three implementations (culori, colorjs.io, color-space) agree on these values.
    for (const [linear, code] of [
      [0.2576156, 0.5445483],
      [0.4679249, 0.7138221],
      [0.1464925, 0.4188879],
    ]) {
      expect(linearFromSrgb(code)).toBeCloseTo(linear, 6);
      expect(srgbFromLinear(linear)).toBeCloseTo(code, 6);
    }
  });

  test('the grey card of 18 % has code 117.6', () => {
    expect(255 * srgbFromLinear(0.18)).toBeCloseTo(117.6, 1);
  });

  test('there and back, over both parts of the curve', () => {
    for (let k = 0; k <= 500; k++)
      expect(srgbFromLinear(linearFromSrgb(k / 500))).toBeCloseTo(k / 500, 7);
  });

  test('the straight part has slope 1/12.92 up to and with the ends that the standard names', () => {
    expect(linearFromSrgb(0.04045)).toBe(0.04045 / 12.92);
    expect(srgbFromLinear(0.0031308)).toBe(0.0031308 * 12.92);
  });
});
