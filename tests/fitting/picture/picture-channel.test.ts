import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { type Colour, colourPicture, greyPicture, in255, plain } from './known-pictures';

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
