import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import key from '../../worksheets/04-three-and-four-slits/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { addedUp, bisected, lowest, row } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student.
const desk = deskFor(key);
const percent = (share: number, value: number) => (share / 100) * value;

/** Length of the sum of equal arrows, all together 1 long, each turned by φ against the one before. */
function arrows(count: number, phi: number): number {
  let [x, y] = [0, 0];
  for (let k = 0; k < count; k++) {
    x += Math.cos(k * phi) / count;
    y += Math.sin(k * phi) / count;
  }
  return Math.hypot(x, y);
}

/** Turns of an arrow, between two bright lines, at which their sum is shortest or longest among neighbours. */
function turning(count: number, sign: 1 | -1): number[] {
  const steps = 3600;
  const at = (i: number) => sign * arrows(count, (2 * Math.PI * i) / steps);
  const found: number[] = [];
  for (let i = 1; i < steps; i++)
    if (at(i) < at(i - 1) && at(i) <= at(i + 1))
      found.push(
        lowest(
          (phi) => sign * arrows(count, phi),
          (2 * Math.PI * (i - 1)) / steps,
          (2 * Math.PI * (i + 1)) / steps,
        ),
      );
  return found;
}

/** From arrow sum ½√2 on one side of a bright line to the same on the other, in φ. */
const widthAtHalf = (count: number) =>
  2 * bisected((phi) => arrows(count, phi) ** 2 - 0.5, 0, (2 * Math.PI) / count);

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);
  const { width, spacing, wavelength, focalLength: f, count } = given;

  test('4.1: shortest and longest sums of arrows between two bright lines counted', () => {
    desk.begin(student);
    expectJudged(desk, '4.1', [turning(count, 1).length, turning(count, -1).length], 0.01);
  });

  test('4.2: the smallest turn at which four arrows close', () => {
    desk.begin(student);
    const [turn] = turning(4, 1);
    expect(arrows(4, turn)).toBeLessThan(1e-6);
    const s = (turn * wavelength) / (2 * Math.PI * spacing);
    const place = f * Math.tan(Math.asin(s)) * 1e3;
    expectJudged(desk, '4.2', place, percent(1, place));
  });

  test('4.3: four arrows added', () => {
    desk.begin(student);
    const sum = arrows(4, given.phase);
    expectJudged(desk, '4.3', sum, percent(1, sum));
  });

  test('4.4: waves of many points in all slits', () => {
    desk.begin(student);
    const own = (slitCount: number, s: number) =>
      addedUp(row(slitCount, spacing), width, wavelength, 300)(s);
    expect(desk.agrees('4.4', own)).toBe(true);
    for (const off of [-0.003, 0.003])
      expect(desk.agrees('4.4', (slitCount: number, s: number) => own(slitCount, s) + off)).toBe(
        false,
      );
  });

  test('4.5: the first longest sum beside a bright line, squared', () => {
    desk.begin(student);
    const height = 100 * arrows(count, turning(count, -1)[0]) ** 2;
    expectJudged(desk, '4.5', height, percent(0.6, height));
  });

  test('4.6: full widths at half maximum compared', () => {
    desk.begin(student);
    const times = widthAtHalf(2) / widthAtHalf(count);
    expectJudged(desk, '4.6', times, percent(1, times));
  });

  test('4.7: arrows of length 1, all, one fewer, and those left where all closed, whichever is blocked', () => {
    desk.begin(student);
    const dark = turning(count, 1)[0];
    for (let blocked = 0; blocked < count; blocked++) {
      const left = (phi: number) => {
        let [x, y] = [0, 0];
        for (let k = 0; k < count; k++) {
          if (k === blocked) continue;
          x += Math.cos(k * phi);
          y += Math.sin(k * phi);
        }
        return x * x + y * y;
      };
      const three = [(count * arrows(count, 0)) ** 2, left(0), left(dark)];
      expectJudged(
        desk,
        '4.7',
        three,
        three.map((each) => percent(1, each)),
      );
    }
  });

  test('4.8: for each number of slits the best height and background; the number with least misses', () => {
    desk.begin(student);
    const { positions, counts } = given.profile;
    const misses = (slitCount: number) => {
      const at = addedUp(row(slitCount, spacing), width, wavelength, 24);
      const light: number[] = positions.map((x: number) => at(Math.sin(Math.atan(x / f))));
      const mean = (list: readonly number[]) => list.reduce((a, b) => a + b) / list.length;
      const [l0, c0] = [mean(light), mean(counts)];
      const slope =
        light.reduce((sum, l, i) => sum + (l - l0) * (counts[i] - c0), 0) /
        light.reduce((sum, l) => sum + (l - l0) ** 2, 0);
      return light.reduce((sum, l, i) => sum + (counts[i] - c0 - slope * (l - l0)) ** 2, 0);
    };
    const best = [2, 3, 4, 5, 6, 7, 8, 9].reduce((a, b) => (misses(b) < misses(a) ? b : a));
    expectJudged(desk, '4.8', best, 0.01);
  });
});

// The sheet says that the middle of each bright line on the strips is burnt out, and they reach to order 1: one slit's
// pattern there, (sin u / u)² with u = π a/d (common practice, no source), times the exposure is above 1.
test('Look: the first order is burnt out on every student’s strips, as the text says', () => {
  const sheet = new URL(
    '../../.build/worksheets/04-three-and-four-slits/sheet.ipynb',
    import.meta.url,
  );
  const exposure = Number(/exposure: ([\d.]+)/.exec(readFileSync(sheet, 'utf8'))![1]);
  for (const student of twentyStudents) {
    const given = desk.begin(student);
    const u = (Math.PI * given.width) / given.spacing;
    expect((Math.sin(u) / u) ** 2 * exposure, student).toBeGreaterThan(1.02);
  }
});
