import { decode } from 'fast-png';
import { describe, expect, test } from 'vitest';
import { measured } from '../../kernel-lib/index';
import key from '../../worksheets/07-your-own-pattern/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { bisected, type PlainFit, plainFit } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student. The photograph
// is decoded by fast-png; curve, shading, averages, weights and fit are written here.
const desk = deskFor(key);
const percent = (share: number, value: number) => (share / 100) * value;

interface Points {
  /** Pixels from the middle. */
  readonly x: number[];
  readonly y: number[];
  readonly u: number[];
}

/** Light of a code by IEC 61966-2-1, as the sheet's text gives it. */
function linear(code: number): number {
  const c = code / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

/** The red of a photograph along its middle: rows averaged, shading taken out, full pixels left out. */
function alongRow(
  photograph: Uint8Array,
  vignetting: number,
  light: (code: number) => number,
): Points {
  const { width, height, channels, data } = decode(photograph);
  const [midX, midY] = [(width - 1) / 2, (height - 1) / 2];
  const corner = midX ** 2 + midY ** 2;
  const all = Array.from({ length: width }, (_, i) => {
    const codes = Array.from({ length: height }, (_, j) => data[channels * (j * width + i)]);
    const lights = codes.map((code, j) => {
      return light(code) / (1 - (vignetting * ((i - midX) ** 2 + (j - midY) ** 2)) / corner);
    });
    const mean = lights.reduce((a, b) => a + b) / height;
    const variance =
      lights.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (height - 1) / height;
    return { x: i - midX, y: mean, variance, full: Math.max(...codes) >= 0.98 * 255 };
  }).filter(({ full }) => !full);
  // Scatter of places that are about equally bright, averaged: 12 groups from dark to bright.
  const order = [...all].sort((a, b) => a.y - b.y);
  const groups = Array.from({ length: 12 }, (_, g) =>
    order.slice(Math.floor((g * order.length) / 12), Math.floor(((g + 1) * order.length) / 12)),
  ).map((group) => ({
    last: group[group.length - 1].y,
    u: Math.sqrt(group.reduce((sum, { variance }) => sum + variance, 0) / group.length),
  }));
  return {
    x: all.map(({ x }) => x),
    y: all.map(({ y }) => y),
    u: all.map(({ y }) => groups.find(({ last }) => y <= last)?.u ?? 1),
  };
}

/** Pattern of N slits at s/λ, its fringes a little blurred: each pair of slits with its own contrast. */
function blurred(count: number, d: number, a: number, blur: number, q: number): number {
  const beta = Math.PI * a * q;
  const one = Math.abs(beta) < 1e-9 ? 1 : Math.sin(beta) / beta;
  let sum = count;
  for (let i = 0; i < count; i++)
    for (let k = i + 1; k < count; k++)
      sum += 2 * Math.exp(-blur * (k - i) ** 2) * Math.cos(2 * Math.PI * (k - i) * d * q);
  return (one * one * sum) / count ** 2;
}

/** A fit of N slits to the points; parameters: middle (px), height, ground, spacing, width (µm), blur. */
function fitSlits(
  { x, y, u }: Points,
  count: number,
  {
    pixel,
    wavelength,
    distance,
    label,
  }: { pixel: number; wavelength: number; distance: number; label: number },
): PlainFit {
  const model = ([middle, height, ground, d, a, blur]: readonly number[]) =>
    x.map((place) => {
      const s = Math.sin(Math.atan(((place - middle) * pixel) / distance));
      return ground + height * blurred(count, d * 1e-6, a * 1e-6, Math.abs(blur), s / wavelength);
    });
  const starts = [2.6, 3, 3.4].map((ratio) => [
    0,
    1.2,
    0.02,
    label * 1e6,
    (label * 1e6) / ratio,
    0.05,
  ]);
  const fits = starts.map((start) => plainFit(model, y, (i) => u[i], start, 40));
  return fits.reduce((a, b) => (b.chiSquare < a.chiSquare ? b : a));
}

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);
  const { wavelength, distance, label, marks } = given;

  /** Best line through the ruler's marks by the textbook's sums; how much the slope moves when one mark does. */
  const n = marks.length;
  const squares = (n * (n * n - 1)) / 12; // Σ (i − mean)²
  const slope =
    marks.reduce((sum: number, mark: number, i: number) => sum + (i - (n - 1) / 2) * mark, 0) /
    squares;
  const pixel = 0.01 / slope;
  const pixelU = (pixel * given.markUncertainty) / Math.sqrt(squares) / slope;

  test('7.1: where the lag of neighbours is one wavelength, by halving', () => {
    desk.begin(student);
    const theta = bisected((each) => label * Math.sin(each) - wavelength, 0, 1);
    const place = distance * Math.tan(theta) * 1e3;
    expectJudged(desk, '7.1', place, percent(1, place));
  });

  test('7.2: half wavelengths by which the rim of the row lags, by Pythagoras', () => {
    desk.begin(student);
    const w = (4 * label + label / 3) / 2;
    const lag = (w * w) / (Math.hypot(w, distance) + distance);
    const number = lag / (wavelength / 2);
    expectJudged(desk, '7.2', number, percent(5, number));
  });

  test('7.3: the line through the marks by the textbook’s sums', () => {
    desk.begin(student);
    const agrees = (by: number, times: number) =>
      desk.agrees('7.3', measured((pixel + by * pixelU) * 1e6, times * pixelU * 1e6));
    for (const by of [-1.9, 0, 1.9]) expect(agrees(by, 1)).toBe(true);
    for (const by of [-2.1, 2.1, 6]) expect(agrees(by, 1)).toBe(false);
    for (const times of [0.4, 2.2]) expect(agrees(0, times)).toBe(false);
  });

  test('7.4: the standard’s own two pieces', () => {
    desk.begin(student);
    expect(desk.agrees('7.4', linear)).toBe(true);
    for (const off of [-0.001, 0.001])
      expect(desk.agrees('7.4', (code: number) => linear(code) + off)).toBe(false);
  });

  const bench = { pixel, wavelength, distance, label };
  const points = alongRow(given.photograph, given.vignetting, linear);
  const fits = [3, 4, 5].map((count) => ({ count, ...fitSlits(points, count, bench) }));
  const best = fits.reduce((a, b) => (b.chiSquare < a.chiSquare ? b : a));
  const [, , , d, a] = best.p;

  test('7.5: the number of slits whose pattern fits best', () => {
    desk.begin(student);
    expectJudged(desk, '7.5', best.count, 0.01);
  });

  test('7.6: a fit of one’s own; the photograph is noisy and its scale uncertain, so within half of the tolerance', () => {
    desk.begin(student);
    expectJudged(desk, '7.6', [d, a], [percent(1.2, d), percent(1.2, a)], 0.6);
  });

  test('7.7: the same fit with codes taken for light', () => {
    desk.begin(student);
    const asCodes = alongRow(given.photograph, given.vignetting, (code) => code / 255);
    // Where the model is wrong the weights decide what is found. The scatter of codes is taken for even by the
    // profile, so all places count alike; weights by the codes' true scatter move the width by up to 4 %.
    const evenly = { ...asCodes, u: asCodes.u.map(() => 0.01) };
    const wrong = fitSlits(evenly, best.count, bench).p[4];
    expectJudged(desk, '7.7', 100 * (1 - wrong / a), 0.4, 0.3);
  });

  test('7.8: every cause moved by its uncertainty, one after the other', () => {
    desk.begin(student);
    const moved = (w: number, L: number, p: number) =>
      (d * w * L * pixel) / (wavelength * distance * p) - d;
    const u = Math.hypot(
      moved(wavelength + given.wavelengthUncertainty, distance, pixel),
      moved(wavelength, distance + given.distanceUncertainty, pixel),
      moved(wavelength, distance, pixel + pixelU),
    );
    expectJudged(desk, '7.8', u, percent(7, u));
  });
});
