import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import type { FilmStrip } from '../../kernel-lib/camera/film';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import {
  colourName,
  dominantWavelength,
  excitationPurity,
} from '../../kernel-lib/light/dominant-wavelength';
import { filtered, passband } from '../../kernel-lib/light/filtered';
import type { Light } from '../../kernel-lib/light/light';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { chromaticity, xyz } from '../../kernel-lib/light/xyz';

// What slides with one slit and with several show in white light; common practice, no source. 40 µm wide, 100 µm apart.
const [width, spacing] = [40e-6, 100e-6];
const white = chromaticity(xyz(sunlight()));
const red = filtered(sunlight(), passband(650e-9, 40e-9));
const strips = new Map<string, FilmStrip>();

function stripOf(count: number, light: Light = sunlight()): FilmStrip {
  const key = `${count} ${light.name}`;
  const known = strips.get(key);
  if (known) return known;
  const made = filmStrip(slits(count, { width, spacing }), light, { span: 0.052, points: 2401 });
  strips.set(key, made);
  return made;
}

/** Index of the position nearest to a direction sine. */
function at(strip: FilmStrip, s: number): number {
  let best = 0;
  strip.s.forEach((value, i) => {
    if (Math.abs(value - s) < Math.abs(strip.s[best] - s)) best = i;
  });
  return best;
}
const luminance = (strip: FilmStrip, i: number) => strip.xyz[3 * i + 1];
const colour = (strip: FilmStrip, i: number) =>
  chromaticity([strip.xyz[3 * i], strip.xyz[3 * i + 1], strip.xyz[3 * i + 2]]);
/** Indices of positions from one direction sine to another. */
function between(strip: FilmStrip, from: number, to: number): number[] {
  const [first, last] = [at(strip, from), at(strip, to)];
  return Array.from({ length: last - first + 1 }, (_, i) => first + i);
}
function maxima(strip: FilmStrip, from: number, to: number): number[] {
  const y = (i: number) => luminance(strip, i);
  return between(strip, from, to).filter((i) => y(i) > y(i - 1) && y(i) >= y(i + 1));
}
/** The sine over which the middle is at least half as bright as its maximum. */
function centreWidth(strip: FilmStrip): number {
  const middle = at(strip, 0);
  let i = middle;
  while (luminance(strip, i) > 0.5) i++;
  return 2 * strip.s[i];
}
const order = (m: number, wavelength: number) => (m * wavelength) / spacing;
const mostPure = (strip: FilmStrip, from: number, to: number) =>
  Math.max(...between(strip, from, to).map((i) => excitationPurity(colour(strip, i), white)));

test.each([1, 2, 3, 5, 8, 16])('%i slits: the centre is white and the sides mirror', (count) => {
  const strip = stripOf(count);
  expect(colourName(colour(strip, 1200), white)).toBe('white');
  const [r, g, b] = strip.srgb.slice(3 * 1200, 3 * 1200 + 3);
  expect(Math.max(r, g, b) - Math.min(r, g, b)).toBeLessThan(5);
  expect(r).toBeGreaterThan(245);
  for (let i = 0; i < 1200; i += 13) {
    expect(strip.srgb.slice(3 * i, 3 * i + 3)).toEqual(
      strip.srgb.slice(3 * (2400 - i), 3 * (2400 - i) + 3),
    );
  }
});

test('one slit: purple where green, 546 nm, cancels', () => {
  const strip = stripOf(1);
  const here = colour(strip, at(strip, 546e-9 / width));
  expect(colourName(here, white)).toBe('purple');
  const { kind, wavelength } = dominantWavelength(here, white);
  expect(kind).toBe('complementary');
  expect(wavelength).toBeGreaterThan(530e-9);
  expect(wavelength).toBeLessThan(570e-9);
});

describe('two slits', () => {
  test('the centre is narrower than one slit’s, by about the ratio of width to spacing', () => {
    const ratio = centreWidth(stripOf(2)) / centreWidth(stripOf(1));
    // Half-maximum widths of one wavelength: λ/2d against 0.886 λ/a (slightly narrowed by the envelope).
    expect(ratio).toBeGreaterThan(0.2);
    expect(ratio).toBeLessThan(0.25);
  });

  test('orders broaden outwards: from violet to red, the second is twice as wide as the first', () => {
    // Twenty slits show the same orders apart: where half of each order's greatest brightness is passed.
    const strip = stripOf(20);
    const spread = (m: number) => {
      const places = between(strip, order(m, 480e-9), order(m, 660e-9));
      const most = Math.max(...places.map((i) => luminance(strip, i)));
      const bright = places.filter((i) => luminance(strip, i) > most / 2);
      return strip.s[bright[bright.length - 1]] - strip.s[bright[0]];
    };
    expect(spread(1)).toBeGreaterThan(2 * centreWidth(strip));
    expect(spread(2) / spread(1)).toBeGreaterThan(1.4);
  });

  test('minima fill up outwards, since the orders of different wavelengths part', () => {
    const strip = stripOf(2);
    const [first, second] = [order(0.5, 550e-9), order(1.5, 550e-9)].map((s) =>
      Math.min(...between(strip, s - 1e-3, s + 1e-3).map((i) => luminance(strip, i))),
    );
    const envelope = stripOf(1);
    const share = (value: number, m: number) =>
      value / luminance(envelope, at(envelope, order(m, 550e-9)));
    expect(share(second, 1.5)).toBeGreaterThan(4 * share(first, 0.5));
  });

  test('colours are not spectral: green and yellow of the first order stay pale', () => {
    const [two, twenty] = [stripOf(2), stripOf(20)];
    const [from, to] = [order(1, 510e-9), order(1, 570e-9)];
    expect(mostPure(two, from, to)).toBeLessThan(0.6);
    expect(mostPure(twenty, from, to)).toBeGreaterThan(0.9);
  });

  test('a red passband turns the colours into broad plain fringes', () => {
    const strip = stripOf(2, red);
    for (const i of maxima(strip, -0.02, 0.02)) {
      expect(colourName(colour(strip, i))).toBe('red');
    }
    // Many clear fringes where white light shows two: the minimum after the second order is dark.
    const plain = Math.min(
      ...between(strip, order(2.3, 650e-9), order(2.7, 650e-9)).map((i) => luminance(strip, i)),
    );
    const beside = luminance(strip, at(strip, order(1, 650e-9)));
    expect(plain / beside).toBeLessThan(0.01);
    expect(maxima(strip, 1e-3, order(1.5, 650e-9))).toHaveLength(1);
    // Broad: spaced as 650 nm is, wider than the fringes of white light, which follow 555 nm.
    const [redFringe] = maxima(strip, 1e-3, order(1.5, 650e-9));
    const [whiteFringe] = maxima(stripOf(2), 1e-3, order(1.5, 555e-9));
    expect(strip.s[redFringe]).toBeGreaterThan(1.1 * stripOf(2).s[whiteFringe]);
  });
});

describe('weak spectra between the orders', () => {
  test.each([
    [3, 1],
    [4, 2],
  ])('%i slits in white light: %i between centre and first order', (count, weak) => {
    const strip = stripOf(count);
    expect(maxima(strip, 5e-4, order(0.9, 500e-9))).toHaveLength(weak);
  });

  test.each([3, 4, 5, 6, 10, 20])('%i slits in red light: N − 2', (count) => {
    const narrow = filtered(sunlight(), passband(650e-9, 4e-9));
    const strip = filmStrip(slits(count, { width, spacing }), narrow, { span: 0.02, points: 4001 });
    const inside = maxima(strip, order(0.6 / count, 650e-9), order(1 - 0.6 / count, 650e-9));
    expect(inside).toHaveLength(count - 2);
  });

  test('weaker as N grows; of ten, less than a fiftieth of the centre', () => {
    const middle = [3, 4, 10, 20].map((count) => {
      const strip = stripOf(count);
      return Math.max(
        ...between(strip, order(0.4, 550e-9), order(0.6, 550e-9)).map((i) => luminance(strip, i)),
      );
    });
    for (let i = 1; i < middle.length; i++) expect(middle[i]).toBeLessThan(middle[i - 1]);
    expect(middle[2]).toBeLessThan(0.02);
    expect(middle[3]).toBeLessThan(0.005);
  });
});

// Common practice, no source.
describe('ten and twenty slits', () => {
  test('the red of the first order comes close to spectral, three slits’ does not', () => {
    const here = order(1, 640e-9);
    const purity = (count: number) => {
      const strip = stripOf(count);
      return excitationPurity(colour(strip, at(strip, here)), white);
    };
    expect(purity(10)).toBeGreaterThan(0.9);
    expect(purity(20)).toBeGreaterThan(0.9);
    expect(purity(3)).toBeLessThan(purity(10));
    const strip = stripOf(10);
    expect(colourName(colour(strip, at(strip, here)), white)).toBe('red');
  });

  test('the third order of ten is still purple in places', () => {
    const strip = stripOf(10);
    const names = between(strip, order(3, 400e-9), order(3, 700e-9)).map((i) =>
      colourName(colour(strip, i), white),
    );
    expect(names).toContain('purple');
  });

  test('twenty: a sharp centre', () => {
    expect(centreWidth(stripOf(20))).toBeLessThan(centreWidth(stripOf(2)) / 8);
  });

  test('twenty: orders 1 and 2 stand apart, 2 and 3 overlap', () => {
    const strip = stripOf(20);
    const least = (from: number, to: number) =>
      Math.min(...between(strip, from, to).map((i) => luminance(strip, i)));
    const most = (from: number, to: number) =>
      Math.max(...between(strip, from, to).map((i) => luminance(strip, i)));
    const first = most(order(1, 500e-9), order(1, 600e-9));
    expect(least(order(1, 700e-9), order(2, 400e-9)) / first).toBeLessThan(0.01);
    // Where 600–660 nm of order 2 lie upon 400–440 nm of order 3: red and violet together.
    const overlap = between(strip, order(2, 620e-9), order(2, 660e-9));
    const purples = overlap.filter(
      (i) => dominantWavelength(colour(strip, i), white).kind === 'complementary',
    );
    expect(purples.length).toBeGreaterThan(overlap.length / 4);
  });
});
