import { describe, expect, test } from 'vitest';
import key from '../../worksheets/03-two-slits/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { addedUp, bisected, plainFit, row } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student.
const desk = deskFor(key);
const percent = (share: number, value: number) => (share / 100) * value;

/** How much longer the way to a far point in the direction θ is from one slit than from the other. */
function pathDifference(d: number, theta: number): number {
  const [x, z] = [1000 * Math.sin(theta), 1000 * Math.cos(theta)];
  const [one, other] = [Math.hypot(x + d / 2, z), Math.hypot(x - d / 2, z)];
  return (2 * x * d) / (one + other); // the difference of the squares over the sum
}

/** Contrast near order m in a band of wavelengths: the phases of all of them added up. */
function bandContrast(m: number, centre: number, band: number): number {
  let [re, im] = [0, 0];
  for (let k = 0; k < 400; k++) {
    const phase = (2 * Math.PI * m * centre) / (centre + ((k + 0.5) / 400 - 0.5) * band);
    re += Math.cos(phase) / 400;
    im += Math.sin(phase) / 400;
  }
  return Math.hypot(re, im);
}

/** Spacing and width that fit a record best: waves added up, directions by exact geometry. */
function fitted(given: {
  focalLength: number;
  wavelength: number;
  profile: { positions: number[]; counts: number[]; noise: number };
}): [number, number] {
  const { positions, counts, noise } = given.profile;
  const unit = given.focalLength * given.wavelength;
  const light = (p: readonly number[]) => {
    const [centre, height, ground, spacing, width] = p;
    const at = addedUp(row(2, spacing), width, given.wavelength, 16);
    return positions.map(
      (x) => ground + height * at(Math.sin(Math.atan((x - centre) / given.focalLength))),
    );
  };
  const total = counts.reduce((a, b) => a + b);
  const middle = positions.reduce((sum, x, i) => sum + x * counts[i], 0) / total;
  const [low, high] = [Math.min(...counts), Math.max(...counts)];
  // The record ends at 1.3 times the first dark line of one slit; spacings in plenty are tried.
  const width = (1.3 * unit) / positions[positions.length - 1];
  const misses = (p: readonly number[]) =>
    light(p).reduce((sum, value, i) => sum + (counts[i] - value) ** 2, 0);
  const tries = Array.from({ length: 29 }, (_, i) => [
    middle,
    high - low,
    low,
    (1.8 + i * 0.08) * width,
    width,
  ]);
  const start = tries.reduce((a, b) => (misses(b) < misses(a) ? b : a));
  const { p } = plainFit(light, counts, () => noise, start, 12);
  return [p[3], p[4]];
}

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);
  const { width, spacing, wavelength, focalLength: f } = given;
  const light = addedUp(row(2, spacing), width, wavelength, 400);

  test('3.1: where the ways from both slits to a far point differ by whole wavelengths', () => {
    desk.begin(student);
    const lag = (theta: number) => pathDifference(spacing, theta) - given.order * wavelength;
    const angle = (bisected(lag, 0, 1) * 180) / Math.PI;
    expectJudged(desk, '3.1', angle, percent(1, angle));
  });

  test('3.2: orders counted whose path difference across one slit stays below a wavelength', () => {
    desk.begin(student);
    let count = 0;
    for (let m = -50; m <= 50; m++) {
      const theta = Math.asin((m * wavelength) / spacing);
      if (Math.abs(pathDifference(width, theta)) < wavelength) count++;
    }
    expectJudged(desk, '3.2', count, 0.01);
  });

  test('3.3: waves of many points in both slits', () => {
    desk.begin(student);
    expect(desk.agrees('3.3', light)).toBe(true);
    for (const off of [-0.003, 0.003])
      expect(desk.agrees('3.3', (s: number) => light(s) + off)).toBe(false);
  });

  test('3.4: of all bars by sixtieths of the width, the widest whose first order without light is this one', () => {
    desk.begin(student);
    const first = (sixtieths: number) => {
      for (let n = 1; ; n++) if ((n * 60) % sixtieths === 0) return n;
    };
    const bars = Array.from({ length: 600 }, (_, i) => 61 + i).filter(
      (d) => first(d) === given.missing,
    );
    const bar = ((Math.max(...bars) - 60) / 60) * width * 1e6;
    expectJudged(desk, '3.4', bar, percent(1, bar));
  });

  test('3.5: half of the light, by halving', () => {
    desk.begin(student);
    const s = bisected((each) => light(each) - 0.5, 0, wavelength / spacing / 2);
    const full = 2 * f * Math.tan(Math.asin(s)) * 1e3;
    expectJudged(desk, '3.5', full, percent(0.4, full));
  });

  test('3.6: the fringes of 400 wavelengths added up', () => {
    desk.begin(student);
    const past = wavelength / given.passband;
    const m = bisected((each) => bandContrast(each, wavelength, given.passband) - 0.5, 0.1, past);
    expectJudged(desk, '3.6', m, percent(1, m), 0.4);
  });

  test('3.7: a fit of one’s own', () => {
    desk.begin(student);
    const pair = fitted(given).map((each) => each * 1e6);
    expectJudged(
      desk,
      '3.7',
      pair,
      pair.map((each) => percent(1.5, each)),
    );
  });
});
