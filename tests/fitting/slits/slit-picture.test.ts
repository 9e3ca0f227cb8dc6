import { decode } from 'fast-png';
import { describe, expect, test } from 'vitest';
import { encodePicture, slitPicture } from '../../../kernel-lib/fitting/slits/slit-picture';
import { type Random, seeded } from '../../../kernel-lib/numerics/random';
import { brutePattern } from './brute-pattern';

const wavelength = 500e-9;
const focalLength = 0.5;
const steady = (deviate: number): Random => ({ ...seeded(1), normal: () => deviate });
const slits = { count: 2, slitWidth: 50e-6, spacing: 125e-6, wavelength, focalLength };
/** Pixels so small that the pattern is as bright as its middle all over. */
const flat = { ...slits, pixel: 1e-9, visibility: 1 };

/** The code of a share of the full well: sRGB of IEC 61966-2-1, in 8 bits. */
const code = (share: number) =>
  Math.round(255 * (share <= 0.0031308 ? 12.92 * share : 1.055 * share ** (1 / 2.4) - 0.055));

/** Young's fringes under the slit's envelope at a place on the screen, the mean over the points of a source slit. */
const young = (x: number, visibility: number) => {
  const made = {
    count: 2,
    width: slits.slitWidth,
    spacing: slits.spacing,
    wavelength,
    focalLength,
  };
  const setting = { ...made, centre: 0, visibility, shape: 'box' } as const;
  return brutePattern(Float64Array.of(x), setting, 1000)[0];
};

function near(code1: number, code2: number) {
  expect(Math.abs(code1 - code2)).toBeLessThanOrEqual(1);
}

describe('the pattern in the picture', () => {
  const camera = { ...slits, width: 41, height: 21, pixel: 100e-6 };

  test('brightest in the middle: exposure 0.8, background 0.02, visibility 0.95, one grey channel', () => {
    const { data, channels } = slitPicture(steady(0), camera);
    expect(channels).toBe(1);
    expect(data).toHaveLength(41 * 21);
    for (const x of [0, 5, 12, 20, 33])
      for (const y of [0, 20])
        near(data[y * 41 + x], code(0.02 + 0.8 * young((x - 20) * 100e-6, 0.95)));
  });

  test('a turned camera sees the pattern along the axis that it was turned by', () => {
    const tilt = 0.4;
    const { data } = slitPicture(steady(0), { ...camera, tilt });
    for (const [x, y] of [
      [0, 0],
      [40, 0],
      [9, 18],
      [26, 3],
      [20, 10],
    ]) {
      const along = (x - 20) * Math.cos(tilt) + (y - 10) * Math.sin(tilt);
      near(data[y * 41 + x], code(0.02 + 0.8 * young(along * 100e-6, 0.95)));
    }
  });

  test('an even count of pixels has its middle between two', () => {
    const { data } = slitPicture(steady(0), { ...camera, width: 40, height: 2 });
    for (let x = 0; x < 20; x++) expect(data[x]).toBe(data[39 - x]);
    expect(data.slice(0, 40)).toEqual(data.slice(40));
  });
});

describe('the stripe of light', () => {
  const lit = { ...flat, width: 1, height: 101, background: 0, litHeight: 0.5 };

  test('is as high as was asked, with dark above and below', () => {
    const { data } = slitPicture(steady(0), lit);
    const full = code(0.8);
    expect(data[50]).toBe(full);
    near(data[50 + 12], full);
    // 80 % and 120 % of half its height, which is 25.25 pixels.
    expect(data[50 + 20]).toBeGreaterThan(code(0.5));
    expect(data[50 + 31]).toBeLessThan(code(0.1));
    expect(data[0]).toBe(0);
    expect(data.slice(0, 50)).toEqual(data.slice(51).reverse());
  });

  test('turns with the camera', () => {
    const square = { ...lit, width: 101, litHeight: 0.2, tilt: Math.PI / 4 };
    const { data } = slitPicture(steady(0), square);
    const at = (x: number, y: number) => data[y * 101 + x];
    expect(at(80, 80)).toBe(code(0.8));
    expect(at(80, 20)).toBe(0);
    // Turned by 45°, it holds what lies within 10.1 pixels of the diagonal.
    expect(at(50, 55)).toBe(at(55, 50));
    expect(at(50, 59)).toBeGreaterThan(code(0.6));
    expect(at(50, 70)).toBeLessThan(code(0.1));
  });
});

describe('the camera', () => {
  test('vignetting takes its share at the corners, and a quarter of it half-way', () => {
    const setting = { ...flat, width: 41, height: 21, background: 0.1, vignetting: 0.4 };
    const { data } = slitPicture(steady(0), setting);
    expect(data[10 * 41 + 20]).toBe(code(0.9));
    for (const corner of [0, 40, 20 * 41, 20 * 41 + 40]) expect(data[corner]).toBe(code(0.54));
    expect(data[5 * 41 + 10]).toBe(code(0.81));
  });

  test('a single pixel is the middle', () => {
    const setting = { ...flat, width: 1, height: 1, vignetting: 0.4 };
    expect(Array.from(slitPicture(steady(0), setting).data)).toEqual([code(0.82)]);
  });

  test('three colours see the light by their shares, and the stray light alike', () => {
    const setting = { ...flat, width: 2, height: 1, colour: [0.25, 1, 0.5] as const };
    const { data, channels } = slitPicture(steady(0), setting);
    expect(channels).toBe(3);
    const pixel = [code(0.22), code(0.82), code(0.42)];
    expect(Array.from(data)).toEqual([...pixel, ...pixel]);
  });

  test('noise of a pixel: root of its electrons and of the square of the reading noise', () => {
    // 6000 electrons full: 0.5 + 0.02 gives 3120; √(3120 + 12²) = 57.1. Given: 1000 full, 30: √(520 + 900) = 37.7.
    const setting = { ...flat, width: 1, height: 1, exposure: 0.5 };
    expect(slitPicture(steady(2), setting).data[0]).toBe(code((3120 + 2 * 57.1) / 6000));
    const small = { ...setting, fullWell: 1000, readNoise: 30 };
    expect(slitPicture(steady(2), small).data[0]).toBe(code(0.595));
    expect(slitPicture(steady(-2), small).data[0]).toBe(code(0.445));
  });

  test('nothing is darker than black or brighter than full', () => {
    const setting = { ...flat, width: 1, height: 1 };
    expect(slitPicture(steady(-1000), setting).data[0]).toBe(0);
    expect(slitPicture(steady(1000), setting).data[0]).toBe(255);
    expect(slitPicture(steady(0), { ...setting, exposure: 3 }).data[0]).toBe(255);
  });
});

test.each([1, 3] as const)('as a PNG file it comes back, %i channels', (channels) => {
  const data = Uint8Array.from({ length: 2 * 3 * channels }, (_, i) => 13 * i);
  const read = decode(encodePicture({ width: 2, height: 3, channels, data }));
  expect(read).toMatchObject({ width: 2, height: 3, channels, depth: 8 });
  expect(Array.from(read.data)).toEqual(Array.from(data));
});

test.each([
  ['no width', { width: 0 }, /^width must be/],
  ['no height', { height: 0 }, /^height must be/],
  ['no pixel size', { pixel: 0 }, /^The pixel size must be greater than 0/],
  ['no full well', { fullWell: 0 }, /^The full well must be/],
  ['half an electron', { fullWell: 6000.5 }, /^The full well must be a whole number/],
  ['no slit', { count: 0 }, /^count must be/],
  ['slits of no width', { slitWidth: 0 }, /^The slit width must be greater than 0/],
])('refused: %s', (_, wrong, sentence) => {
  const setting = { ...flat, width: 4, height: 4, ...wrong };
  expect(() => slitPicture(steady(0), setting)).toThrow(RangeError);
  expect(() => slitPicture(steady(0), setting)).toThrow(sentence);
});
