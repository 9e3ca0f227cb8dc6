import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { type Colour, colourPicture, greyPicture } from './known-pictures';

// A row of spots 40 pixels apart that leans by 0.2 rad, about (150, 90); each is a hump of 6 pixels across.
const lean = 0.2;
const row = (x: number, y: number) => {
  const [dx, dy] = [x - 150, y - 90];
  const [along, off] = [
    dx * Math.cos(lean) + dy * Math.sin(lean),
    dy * Math.cos(lean) - dx * Math.sin(lean),
  ];
  const far = Math.exp(-((along / 90) ** 2));
  return far * Math.cos((Math.PI * along) / 40) ** 2 * Math.exp(-(off ** 2) / 72);
};
/** Daylight with a gradient, a white ruler below, spots in red. */
const scene = (x: number, y: number): Colour => {
  const day = 25 + 0.05 * x + (y > 150 && y < 175 ? 60 : 0);
  return [Math.round(day + 160 * row(x, y)), Math.round(day), Math.round(day)];
};
const bytes = colourPicture(300, 180, scene);
const linear = { pixel: 1, curve: 'linear' } as const;

describe('a row of spots that leans', () => {
  const profile = pictureProfile(bytes, linear);

  test('is found beside a ruler: direction, middle, channel', () => {
    const { from, to, width } = profile.line;
    const angle = Math.atan2(to.y - from.y, to.x - from.x);
    expect(angle).toBeCloseTo(lean, 2);
    expect(profile.tilt).toBeCloseTo(lean, 2);
    const off = (90 - from.y) * Math.cos(angle) - (150 - from.x) * Math.sin(angle);
    expect(Math.abs(off)).toBeLessThan(1);
    // exp(−w²/72): ±12 pixels are two standard deviations.
    expect(Math.abs(width / 24 - 1)).toBeLessThan(0.2);
    expect(profile.channel).toBe('red');
    expect(profile.band).toBeUndefined();
  });

  test('the profile is that of the spots, on a level ground', () => {
    const start = (150 - profile.line.from.x) / Math.cos(profile.tilt);
    for (const [i, x] of profile.x.entries()) {
      const along = x - start;
      if (Math.abs(along) > 100) continue;
      const spot = Math.exp(-((along / 90) ** 2)) * Math.cos((Math.PI * along) / 40) ** 2;
      expect(Math.abs(profile.y[i] - (33 + 160 * spot) / 255)).toBeLessThan(0.04);
    }
  });

  test('the line that it gives, given again, gives the same', () => {
    const again = pictureProfile(bytes, { ...linear, band: profile.line });
    expect(again.y).toEqual(profile.y);
    expect(again.line).toEqual(profile.line);
  });

  test('a speck of dust that is masked leaves no trace', () => {
    const dusty = colourPicture(300, 180, (x, y) =>
      Math.hypot(x - 150, y - 90) < 5 ? [10, 10, 10] : scene(x, y),
    );
    const masks = [{ x: 150, y: 90, radius: 6 }];
    const clean = pictureProfile(bytes, { ...linear, band: profile.line });
    const masked = pictureProfile(dusty, { ...linear, band: profile.line, masks });
    for (const [i, y] of masked.y.entries()) expect(Math.abs(y - clean.y[i])).toBeLessThan(0.03);
    // The same by a rectangle, whichever two of its opposite corners are given.
    const corners = [
      { from: { x: 144, y: 84 }, to: { x: 156, y: 96 } },
      { from: { x: 156, y: 84 }, to: { x: 144, y: 96 } },
    ];
    for (const corner of corners) {
      const boxed = pictureProfile(dusty, { ...linear, band: profile.line, masks: [corner] });
      for (const [i, y] of boxed.y.entries()) expect(Math.abs(y - clean.y[i])).toBeLessThan(0.03);
    }
    expect(() =>
      pictureProfile(dusty, { ...linear, band: profile.line, masks: [{ x: 1 } as never] }),
    ).toThrow(/A mask is a round part of the picture, \{ x, y, radius \}, or a rectangle/);
  });

  test('spots that are clipped are masked in their own channel', () => {
    const bright = colourPicture(300, 180, (x, y) => [
      Math.min(255, Math.round(20 + 600 * row(x, y))),
      Math.round(20 + 40 * row(x, y)),
      20,
    ]);
    const clipped = pictureProfile(bright, linear);
    expect(clipped.channel).toBe('red');
    expect(clipped.saturated).toContain(1);
    expect(clipped.saturated).toContain(0);
  });
});

describe('what is no row of spots', () => {
  test('an even picture: asked for, it is refused with what to do', () => {
    const flat = greyPicture(200, 100, (x) => 100 + (x % 3));
    expect(() => pictureProfile(flat, { ...linear, band: 'find' })).toThrow(
      /No row of spots stands out of this picture\. Give the band yourself/,
    );
  });

  test('tall fringes are read by rows as ever', () => {
    const tall = greyPicture(200, 100, (x, y) =>
      Math.round((y >= 10 && y < 90 ? 1 : 0.6) * (120 + 100 * Math.cos(x / 6))),
    );
    const profile = pictureProfile(tall, linear);
    expect(profile.band).toEqual({ from: 10, to: 90 });
    expect(profile.line).toEqual({ from: { x: 0, y: 49.5 }, to: { x: 199, y: 49.5 }, width: 80 });
  });

  test('a line that leaves the picture, has no width, or no length', () => {
    const line = { from: { x: 10, y: 10 }, to: { x: 290, y: 60 }, width: 20 };
    const ask = (band: typeof line) => () => pictureProfile(bytes, { ...linear, band });
    expect(ask({ ...line, to: { x: 400, y: 60 } })).toThrow(/band\.to is \(400, 60\), outside/);
    expect(ask({ ...line, width: 0 })).toThrow(/band's width/);
    expect(ask({ ...line, to: { x: 12, y: 10 } })).toThrow(/shorter than 10 pixels/);
  });
});
