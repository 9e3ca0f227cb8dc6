import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { linearFromSrgb } from '../../../kernel-lib/fitting/picture/srgb-curve';
import { greyPicture, in255, plain } from './known-pictures';

describe('positions and means', () => {
  const level = (x: number, y: number) => 10 * x + y;
  const bytes = greyPicture(9, 6, level);

  test('along x: metres from the left edge, the mean over the rows of the band', () => {
    const setting = { ...plain, pixel: 0.002, band: { from: 1, to: 4 }, along: { from: 3, to: 7 } };
    const profile = pictureProfile(bytes, setting);
    expect([...profile.x]).toEqual([0.006, 0.008, 0.01, 0.012]);
    // The mean of rows 1, 2 and 3 is row 2.
    expect(in255(profile)).toEqual([32, 42, 52, 62]);
    expect(profile).toMatchObject({ kind: 'PNG', width: 9, height: 6, channel: 'grey', tilt: 0 });
    expect(profile.band).toEqual({ from: 1, to: 4 });
  });

  test('along y: metres from the upper edge, the mean over the columns of the band', () => {
    const setting = {
      ...plain,
      axis: 'y',
      band: { from: 4, to: 9 },
      along: { from: 2, to: 6 },
    } as const;
    const profile = pictureProfile(bytes, setting);
    expect([...profile.x]).toEqual([2, 3, 4, 5]);
    expect(in255(profile)).toEqual([62, 63, 64, 65]);
    expect([profile.width, profile.height]).toEqual([9, 6]);
  });

  test('the camera curve is that of sRGB unless it is said to be linear', () => {
    const band = { from: 0, to: 1 };
    const profile = pictureProfile(bytes, { pixel: 1, tilt: 0, band });
    for (const [x, y] of profile.y.entries())
      expect(y).toBeCloseTo(linearFromSrgb((10 * x) / 255), 6);
  });

  test('a tilt that is given is taken, one that is not is found', () => {
    const leaning = greyPicture(120, 40, (x, y) =>
      Math.round(120 + 100 * Math.cos((x - 60 + 0.1 * (y - 19.5)) / 3)),
    );
    const band = { from: 0, to: 40 };
    expect(pictureProfile(leaning, { ...plain, band, tilt: 0.02 }).tilt).toBe(0.02);
    // Fringes along x + 0.1 y lean by atan 0.1.
    for (const tilt of ['find', undefined] as const)
      expect(pictureProfile(leaning, { ...plain, band, tilt }).tilt).toBeCloseTo(Math.atan(0.1), 3);
    const along = pictureProfile(leaning, { ...plain, band, tilt: Math.atan(0.1) });
    const across = pictureProfile(leaning, { ...plain, band, tilt: 0 });
    const spread = ({ y }: { y: Float64Array }) => Math.max(...y) - Math.min(...y);
    expect(spread(along)).toBeGreaterThan(1.05 * spread(across));
  });
});

describe('saturation', () => {
  const bytes = greyPicture(6, 4, (x) => [0, 128, 249, 250, 254, 255][x]);
  const band = { from: 0, to: 4 };
  test('from 98 % of full scale on', () => {
    expect([...pictureProfile(bytes, { ...plain, band }).saturated]).toEqual([0, 0, 0, 1, 1, 1]);
  });
  test('from the share that is asked for', () => {
    const profile = pictureProfile(bytes, { ...plain, band, saturation: 0.5 });
    expect([...profile.saturated]).toEqual([0, 1, 1, 1, 1, 1]);
  });
  test('where everything is, nothing can be measured, and band and channel are named', () => {
    const full = { ...plain, band: { from: 1, to: 3 }, along: { from: 3, to: 6 } };
    expect(() => pictureProfile(bytes, full)).toThrow(RangeError);
    expect(() => pictureProfile(bytes, full)).toThrow(
      'Every position of this band (1 to 3, grey) is saturated: nothing can be measured in it.',
    );
  });
});

describe('vignetting', () => {
  const [width, height, loss] = [41, 31, 0.4];
  const shade = (x: number, y: number) =>
    1 - (loss * ((x - 20) ** 2 + (y - 15) ** 2)) / (20 ** 2 + 15 ** 2);
  const bytes = greyPicture(width, height, (x, y) => Math.round(200 * shade(x, y)));

  test.each([
    ['x', { from: 0, to: 5 }, { from: 0, to: 41 }],
    ['x', { from: 20, to: 31 }, { from: 7, to: 12 }],
    ['y', { from: 2, to: 9 }, { from: 11, to: 31 }],
  ] as const)('along %s what the lens lost is put back', (axis, band, along) => {
    const setting = { ...plain, axis, band, along };
    const even = pictureProfile(bytes, { ...setting, vignetting: loss });
    // Half a step of 1/255 each, at most 1/0.6 of it.
    for (const y of even.y) expect(Math.abs(y - 200 / 255)).toBeLessThan(0.0033);
    const lossy = pictureProfile(bytes, setting);
    expect(Math.min(...lossy.y)).toBeLessThan(0.97 * (200 / 255));
  });

  test('at the corner the whole share is lost, in the middle nothing', () => {
    const flat = greyPicture(width, height, () => 60);
    const at = (x: number, y: number, vignetting: number) =>
      pictureProfile(flat, {
        ...plain,
        vignetting,
        band: { from: y, to: y + 1 },
        along: { from: x, to: x + 1 },
      }).y[0];
    expect(at(0, 0, 0.25)).toBeCloseTo(60 / 255 / 0.75, 6);
    expect(at(40, 30, 0.25)).toBeCloseTo(60 / 255 / 0.75, 6);
    expect(at(20, 15, 0.25)).toBeCloseTo(60 / 255, 6);
    expect(at(40, 0, -0.5)).toBeCloseTo(60 / 255 / 1.5, 6);
  });

  test.each([1, -1, 20])('a share of %f is none', (vignetting) => {
    const ask = () => pictureProfile(bytes, { ...plain, vignetting });
    expect(ask).toThrow(RangeError);
    expect(ask).toThrow(`vignetting is ${vignetting}: give the share lost at the corners`);
  });
});

describe('the dark', () => {
  const bytes = greyPicture(5, 6, (x, y) => (y < 2 ? 11 + x + y : 100));
  const band = { from: 2, to: 6 };
  test('a number is subtracted as it is', () => {
    const { y } = pictureProfile(bytes, { ...plain, band, background: 0.1 });
    for (const value of y) expect(value).toBeCloseTo(100 / 255 - 0.1, 6);
  });
  test('of a band its mean is', () => {
    // Columns 11 … 15 and 12 … 16: 13.5 on the mean.
    const profile = pictureProfile(bytes, { ...plain, band, background: { from: 0, to: 2 } });
    expect(in255(profile)).toEqual(Array(5).fill(86.5));
  });
  test('a band that lies outside is named', () => {
    const ask = () => pictureProfile(bytes, { ...plain, band, background: { from: 0, to: 7 } });
    expect(ask).toThrow(/background\.to/);
  });
});

describe('ranges', () => {
  const bytes = greyPicture(5, 4, (x, y) => 10 * x + y);
  test.each([
    [{ band: { from: -1, to: 3 } }, /band\.from/],
    [{ band: { from: 4, to: 5 } }, /band\.from/],
    [{ band: { from: 0, to: 5 } }, /band\.to/],
    [{ band: { from: 0.5, to: 3 } }, /band\.from/],
    [{ band: { from: 0, to: 2.5 } }, /band\.to/],
    [{ band: { from: 0, to: 0 } }, /band\.to/],
    [{ along: { from: 5, to: 6 } }, /along\.from/],
    [{ along: { from: 0, to: 6 } }, /along\.to/],
    [{ along: { from: 3, to: 2 } }, /along runs from 3 to 2: the end must be larger.* 5 pixels/],
    [{ band: { from: 2, to: 2 } }, /band runs from 2 to 2: the end must be larger.* 4 pixels/],
    [{ axis: 'y', along: { from: 0, to: 5 } } as const, /along\.to/],
  ])('%j', (ranges, sentence) => {
    expect(() => pictureProfile(bytes, { ...plain, ...ranges })).toThrow(RangeError);
    expect(() => pictureProfile(bytes, { ...plain, ...ranges })).toThrow(sentence);
  });

  test('of one row, one column, all rows', () => {
    const corner = { band: { from: 3, to: 4 }, along: { from: 4, to: 5 } };
    expect(in255(pictureProfile(bytes, { ...plain, ...corner }))).toEqual([43]);
    const all = { band: { from: 0, to: 4 }, along: { from: 0, to: 5 } };
    expect(in255(pictureProfile(bytes, { ...plain, ...all }))).toEqual([
      1.5, 11.5, 21.5, 31.5, 41.5,
    ]);
  });

  test('the size of a pixel must be given', () => {
    for (const options of [undefined, {}, { pixel: -1 }, { pixel: Number.NaN }])
      expect(() => pictureProfile(bytes, options as never)).toThrow(/^The pixel size /);
  });
});
