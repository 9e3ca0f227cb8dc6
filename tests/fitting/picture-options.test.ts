import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../kernel-lib/fitting/picture-profile';
import { encodePicture } from '../../kernel-lib/fitting/slit-picture';
import { linearFromSrgb } from '../../kernel-lib/fitting/srgb-curve';

type Colour = readonly [red: number, green: number, blue: number];

function greyPicture(width: number, height: number, level: (x: number, y: number) => number) {
  const data = Uint8Array.from({ length: width * height }, (_, i) =>
    level(i % width, Math.floor(i / width)),
  );
  return encodePicture({ width, height, channels: 1, data });
}

function colourPicture(width: number, height: number, level: (x: number, y: number) => Colour) {
  const data = Uint8Array.from(
    Array.from({ length: width * height }, (_, i) => [
      ...level(i % width, Math.floor(i / width)),
    ]).flat(),
  );
  return encodePicture({ width, height, channels: 3, data });
}

/** Nothing found, nothing undone: the mean of the pixels as they are. */
const plain = { pixel: 1, tilt: 0, curve: 'linear' } as const;
const in255 = (profile: { y: Float64Array }) =>
  Array.from(profile.y, (y) => Math.round(y * 2550) / 10);

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

describe('the channel', () => {
  const band = { from: 0, to: 10 };
  const of = (level: (x: number, y: number) => Colour) =>
    pictureProfile(colourPicture(20, 10, level), { ...plain, band }).channel;

  test('the brightest', () => {
    expect(of(() => [90, 80, 70])).toBe('red');
    expect(of(() => [80, 90, 70])).toBe('green');
    expect(of(() => [70, 80, 90])).toBe('blue');
    // One bright pixel is not enough: it is the sum that counts.
    expect(of((x, y) => (x + y === 0 ? [240, 50, 40] : [10, 50, 40]))).toBe('green');
  });

  test('unless more than a fiftieth of it is saturated', () => {
    const full = (count: number) => (x: number, y: number) =>
      [60, 20 * y + x < count ? 255 : 90, 50] as const;
    expect([of(full(0)), of(full(4)), of(full(5)), of(full(150))]).toEqual([
      'green',
      'green',
      'red',
      'red',
    ]);
  });

  test('where all are, the one that is least', () => {
    const upTo =
      (...counts: number[]) =>
      (x: number, y: number) =>
        counts.map((count) => (10 * x + y < count ? 255 : 0)) as unknown as Colour;
    expect([of(upTo(80, 40, 60)), of(upTo(30, 40, 60)), of(upTo(80, 40, 6))]).toEqual([
      'green',
      'red',
      'blue',
    ]);
  });

  test('one that is asked for', () => {
    const bytes = colourPicture(5, 4, (x) => [10 * x, 20 * x, 30 * x]);
    for (const [k, channel] of (['red', 'green', 'blue'] as const).entries()) {
      const profile = pictureProfile(bytes, { ...plain, band: { from: 0, to: 4 }, channel });
      expect(profile.channel).toBe(channel);
      expect(in255(profile)).toEqual([0, 1, 2, 3, 4].map((x) => 10 * (k + 1) * x));
    }
  });

  test('one that is not there', () => {
    const bytes = colourPicture(5, 4, () => [1, 2, 3]);
    const ask = () => pictureProfile(bytes, { ...plain, channel: 'grey' });
    expect(ask).toThrow(RangeError);
    expect(ask).toThrow('This picture has no channel "grey", only red, green, blue.');
    expect(
      pictureProfile(
        greyPicture(5, 4, () => 9),
        { ...plain, channel: 'grey' },
      ).channel,
    ).toBe('grey');
  });
});

describe('the brightest band', () => {
  const found = (...rows: number[]) =>
    pictureProfile(
      greyPicture(4, rows.length, (_, y) => rows[y]),
      plain,
    ).band;

  test('rows around the brightest above four fifths of it, the darkest taken as zero', () => {
    // From 20 to 120: four fifths lie at 100.
    expect(found(20, 30, 99, 101, 120, 110, 99, 20)).toEqual({ from: 3, to: 6 });
    expect(found(120, 110, 30, 20)).toEqual({ from: 0, to: 2 });
    expect(found(20, 30, 110, 120)).toEqual({ from: 2, to: 4 });
    expect(found(20, 120, 20)).toEqual({ from: 1, to: 2 });
  });

  test('one stripe only: a second behind a dark row is another', () => {
    expect(found(110, 20, 115, 120, 20, 119)).toEqual({ from: 2, to: 4 });
  });

  test('in a picture of more rows than are kept the same, to within a kept lane', () => {
    const rows = Array.from({ length: 500 }, (_, y) => (y >= 200 && y < 300 ? 120 : 20));
    expect(found(...rows)).toEqual({ from: 200, to: 300 });
    const end = Array.from({ length: 450 }, (_, y) => (y >= 405 ? 120 : 20));
    expect(found(...end)).toEqual({ from: 405, to: 450 });
  });

  test('along y columns are meant', () => {
    const bytes = greyPicture(6, 5, (x) => [10, 10, 100, 110, 10, 10][x]);
    expect(pictureProfile(bytes, { ...plain, axis: 'y' }).band).toEqual({ from: 2, to: 4 });
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
