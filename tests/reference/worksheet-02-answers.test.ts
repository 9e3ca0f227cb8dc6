import { describe, expect, test } from 'vitest';
import observerTable from '../../data/cie_1931_2deg_1nm.csv';
import daylightTable from '../../data/cie_d65.csv';
import key from '../../worksheets/02-one-slit/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { addedUp, addedWaves, bisected, lowest } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student.
const desk = deskFor(key);
const percent = (share: number, value: number) => (share / 100) * value;

const columns = (table: string) =>
  table
    .split('\n')
    .map((line) => line.split(',').map(Number))
    .filter((line) => line.length > 1 && line.every(Number.isFinite));
const observer = new Map(columns(observerTable).map(([nm, ...bars]) => [nm, bars]));
const daylight = new Map(columns(daylightTable).map(([nm, power]) => [nm, power]));

/** [x, y] of what is left of daylight by a plain sum in steps of 1 nm, D65 straight between its table's lines. */
function colourLeft(kept: (nanometres: number) => number): number[] {
  const sum = [0, 0, 0];
  for (let nm = 380; nm <= 780; nm++) {
    const [low, share] = [5 * Math.floor(nm / 5), (nm % 5) / 5];
    const power =
      (daylight.get(low) ?? 0) * (1 - share) + (share ? (daylight.get(low + 5) ?? 0) * share : 0);
    (observer.get(nm) ?? [0, 0, 0]).forEach((bar, i) => {
      sum[i] += bar * power * kept(nm);
    });
  }
  const all = sum[0] + sum[1] + sum[2];
  return [sum[0] / all, sum[1] / all];
}

/** Si(x) = x − x³/3·3! + x⁵/5·5! − … */
function sineIntegral(x: number): number {
  let [term, sum] = [x, x];
  for (let k = 1; k < 60; k++) {
    term *= (-x * x) / (2 * k * (2 * k + 1));
    sum += term / (2 * k + 1);
  }
  return sum;
}

/** Slope of readings against orders by its textbook formula, and the width that follows. */
function widthFrom(orders: readonly number[], x: readonly number[], f: number, wavelength: number) {
  const mean = (list: readonly number[]) => list.reduce((a, b) => a + b) / list.length;
  const [m0, x0] = [mean(orders), mean(x)];
  const across = orders.reduce((sum, m, i) => sum + (m - m0) * (x[i] - x0), 0);
  const along = orders.reduce((sum, m) => sum + (m - m0) ** 2, 0);
  return (f * wavelength * along) / across;
}

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);
  const { width, wavelength, focalLength: f } = given;
  /** Waves of many points of the slit; the amplitude changes its sign at the first dark line. */
  const amplitude = (theta: number) => addedWaves([0], width, wavelength)(Math.sin(theta)).re;
  const first = bisected(amplitude, (0.5 * wavelength) / width, (1.5 * wavelength) / width);

  test('2.1, 2.2: where waves of many points in the slit add up to nothing', () => {
    desk.begin(student);
    const angle = (first * 180) / Math.PI;
    expectJudged(desk, '2.1', angle, percent(1, angle));
    const band = 2 * f * Math.tan(first) * 1e3;
    expectJudged(desk, '2.2', band, percent(1, band));
  });

  test('2.3: the square of that sum', () => {
    desk.begin(student);
    const own = addedUp([0], width, wavelength, 2000);
    expect(desk.agrees('2.3', own)).toBe(true);
    for (const off of [-0.003, 0.003])
      expect(desk.agrees('2.3', (s: number) => own(s) + off)).toBe(false);
  });

  test('2.4: where the added waves are strongest between dark lines', () => {
    desk.begin(student);
    const light = addedUp([0], width, wavelength, 600);
    const maxima = [1, 2].map((m) => {
      const u = lowest((v) => -light((v * wavelength) / width), m + 0.1, m + 0.9);
      return Math.asin((u * wavelength) / width) * 1e3;
    });
    expectJudged(
      desk,
      '2.4',
      maxima,
      maxima.map((each) => percent(0.5, each)),
    );
  });

  test('2.5: the light within ±β is (2/π) (Si 2β − sin² β/β) of all (textbook integral of sin² β/β²)', () => {
    desk.begin(student);
    const s = Math.sin(Math.atan(given.opening / 2 / f));
    const beta = (Math.PI * width * s) / wavelength;
    const share = (200 / Math.PI) * (sineIntegral(2 * beta) - Math.sin(beta) ** 2 / beta);
    expectJudged(desk, '2.5', share, percent(1, share));
  });

  test('2.6: a sum of one’s own in steps of 1 nm, which differs by 2e-4 (worksheet-02.test.ts says why)', () => {
    desk.begin(student);
    const cancelled = given.cancelled * 1e9;
    const colour = colourLeft((nm) => {
      const beta = (Math.PI * cancelled) / nm;
      return (Math.sin(beta) / beta) ** 2;
    });
    expectJudged(desk, '2.6', colour, 0.004, 0.1);
  });

  test('2.7, 2.8: the textbook slope; its uncertainty by changing one reading after the other', () => {
    desk.begin(student);
    const { orders, readings } = given;
    const a = widthFrom(orders, readings, f, wavelength);
    expectJudged(desk, '2.7', a * 1e6, percent(1.5, a * 1e6));
    const parts = readings.map((_: number, i: number) => {
      const moved = readings.map((x: number, k: number) =>
        k === i ? x + given.readingUncertainty : x,
      );
      return widthFrom(orders, moved, f, wavelength) - a;
    });
    parts.push(widthFrom(orders, readings, f + given.focalLengthUncertainty, wavelength) - a);
    parts.push(widthFrom(orders, readings, f, wavelength + given.wavelengthUncertainty) - a);
    const u = Math.hypot(...parts) * 1e6;
    expectJudged(desk, '2.8', u, percent(10, u));
  });
});
