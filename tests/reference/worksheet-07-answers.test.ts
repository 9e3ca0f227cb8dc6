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

/** Pattern of N slits at s/λ: one slit, times the square of the sum of N arrows. */
function sharp(count: number, d: number, a: number, q: number): number {
  const beta = Math.PI * a * q;
  const one = Math.abs(beta) < 1e-9 ? 1 : Math.sin(beta) / beta;
  const below = Math.sin(Math.PI * d * q);
  const all = Math.abs(below) < 1e-9 ? 1 : Math.sin(count * Math.PI * d * q) / (count * below);
  return one * one * all * all;
}

/** Nine places of a bell curve, in widths from its middle, with their weights. */
const bell = [-2.4, -1.8, -1.2, -0.6, 0, 0.6, 1.2, 1.8, 2.4].map((t) => [
  t,
  Math.exp((-t * t) / 2),
]);
const bellSum = bell.reduce((sum, [, weight]) => sum + weight, 0);

/** A fit of N slits to the points; parameters: middle (px), height, ground, spacing, width (µm), blur (px). */
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
      // The whole pattern is blurred, as a wide source or a soft picture does.
      const light = bell.reduce((sum, [off, weight]) => {
        const from = (place - middle + off * blur) * pixel;
        const q = Math.sin(Math.atan(from / distance)) / wavelength;
        return sum + weight * sharp(count, d * 1e-6, a * 1e-6, q);
      }, 0);
      return ground + (height * light) / bellSum;
    });
  const starts = [2.6, 3, 3.4].map((ratio) => [
    0,
    1.2,
    0.02,
    label * 1e6,
    (label * 1e6) / ratio,
    1.5,
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
    // profile, so all places count alike; weights by the codes' true scatter move the width by up to 4 %, a blur of another shape by 0.15 %.
    const evenly = { ...asCodes, u: asCodes.u.map(() => 0.01) };
    const wrong = fitSlits(evenly, best.count, bench).p[4];
    expectJudged(desk, '7.7', 100 * (1 - wrong / a), 0.4, 0.5);
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

/**
 * Light along a row of spots: what is red beyond blue, for daylight is both alike; its line by weighted sums; each column
 * across it added up. `full` where a pixel of the row has the largest code.
 */
function alongSpots(photograph: Uint8Array) {
  const { width, height, channels, data } = decode(photograph);
  const code = (x: number, y: number, c: number) => data[channels * (y * width + x) + c];
  const laser = (x: number, y: number) => linear(code(x, y, 0)) - linear(code(x, y, 2));
  // The ruler lies below.
  const rows = Array.from({ length: Math.min(118, height) }, (_, y) => y);
  const sums = [0, 0, 0, 0, 0];
  for (let x = 0; x < width; x++)
    for (const y of rows) {
      const w = laser(x, y);
      if (w < 0.1) continue;
      [w, w * x, w * y, w * x * x, w * x * y].forEach((each, k) => {
        sums[k] += each;
      });
    }
  const [w, wx, wy, wxx, wxy] = sums;
  const lean = (w * wxy - wx * wy) / (w * wxx - wx * wx);
  const at = (x: number) => wy / w + lean * (x - wx / w);
  return Array.from({ length: width }, (_, x) => {
    const near = rows.filter((y) => Math.abs(y - at(x)) <= 14);
    return {
      x: (x - wx / w) * Math.hypot(1, lean),
      y: near.reduce((sum, y) => sum + laser(x, y), 0),
      full: near.some((y) => code(x, y, 0) >= 250),
    };
  });
}

describe.each(twentyStudents.slice(0, 3))('student %s, the second slide', (student) => {
  const given = desk.begin(student);

  test('7.10: the laser’s own light added up across the row, and a fit of one’s own', () => {
    desk.begin(student);
    const [a, b] = given.snapshotMarks;
    const pixel = given.snapshotRuler / Math.hypot(b.x - a.x, b.y - a.y);
    const row = alongSpots(given.snapshot);
    const kept = row.filter(({ full }) => !full);
    const top = Math.max(...kept.map(({ y }) => y));
    const points: Points = {
      x: kept.map(({ x }) => x),
      y: kept.map(({ y }) => y / top),
      // Speckle goes with the light.
      u: kept.map(({ y }) => 0.01 + (0.1 * Math.max(y, 0)) / top),
    };
    // How far apart bright lines are: where the row is most like itself, moved along.
    const like = (lag: number) => {
      const pairs = row.slice(lag).map(({ y }, i) => Math.min(y, top) * Math.min(row[i].y, top));
      return pairs.reduce((sum, each) => sum + each, 0) / pairs.length;
    };
    const lags = Array.from({ length: 41 }, (_, i) => 30 + i);
    const lag = lags.reduce((best, each) => (like(each) > like(best) ? each : best));
    const { wavelength, distance } = given;
    const label = (wavelength * distance) / (lag * pixel);
    const fits = [2, 3].map((count) =>
      fitSlits(points, count, { pixel, wavelength, distance, label }),
    );
    const [, , , d, width] = fits.reduce((one, other) =>
      other.chiSquare < one.chiSquare ? other : one,
    ).p;
    expectJudged(desk, '7.10', [d, width], [percent(3, d), percent(3, width)], 0.7);
  });

  test('7.11: a row that is full nearly everywhere is no measurement', () => {
    desk.begin(student);
    const middle = alongSpots(given.otherSnapshot).filter(({ x }) => Math.abs(x) < 120);
    const full = middle.filter((one) => one.full).length / middle.length;
    const word = full > 0.5 ? 'no' : 'yes';
    expect(desk.agrees('7.11', word)).toBe(true);
    expect(desk.agrees('7.11', word === 'no' ? 'yes' : 'no')).toBe(false);
  });
});
