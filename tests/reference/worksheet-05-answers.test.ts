import { describe, expect, test } from 'vitest';
import observerTable from '../../data/cie_1931_2deg_1nm.csv';
import key from '../../worksheets/05-from-slits-to-a-grating/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { bisected, row } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student.
const desk = deskFor(key);
const percent = (share: number, value: number) => (share / 100) * value;

/** Middle value of the sum of arrows behind `count` narrow slits: real, since they lie evenly to both sides. */
const arrows = (count: number, turn: number) =>
  row(count, 1).reduce((sum, place) => sum + Math.cos(2 * Math.PI * place * turn), 0) / count;

/** Sodium's pair in air, m: D2 and D1 of lab-lines.csv (NIST ASD). */
const [shorter, longer] = [588.9951e-9, 589.5924e-9];

/** The first number of lines whose arrows close, each turned against the one before by `turn`. */
function closing(turn: number): number {
  let [re, im, count] = [0, 0, 0];
  let [least, at] = [Number.POSITIVE_INFINITY, 0];
  while (count < 1.5 / turn) {
    re += Math.cos(2 * Math.PI * turn * count);
    im += Math.sin(2 * Math.PI * turn * count);
    count += 1;
    const size = Math.hypot(re, im);
    if (size < least && count > 0.5 / turn) [least, at] = [size, count];
  }
  return at;
}

/**
 * Illuminant A, relative, by its defining formula: a Planckian with c₂/T = 1.435 · 10⁷ nm K / 2848 K
 * (ISO/CIE 11664-2; from memory).
 */
const filament = (nm: number) => nm ** -5 / Math.expm1(1.435e7 / 2848 / nm);
const observer = observerTable
  .split('\n')
  .map((line) => line.split(',').map(Number))
  .filter((line) => line.length === 4 && line.every(Number.isFinite) && line[0] >= 380);
const at = (sum: readonly number[]) => [
  sum[0] / (sum[0] + sum[1] + sum[2]),
  sum[1] / (sum[0] + sum[1] + sum[2]),
];
/** [x, y] of what is left of the lamp's light, by a plain sum in steps of 1 nm. */
const colourLeft = (kept: (nm: number) => number) =>
  at(
    [1, 2, 3].map((bar) =>
      observer
        .filter(([nm]) => nm <= 780)
        .reduce((sum, line) => sum + line[bar] * filament(line[0]) * kept(line[0]), 0),
    ),
  );
const white = colourLeft(() => 1);
/** The colours of the spectrum, closed by a straight line of purples. */
const spectrum = observer.filter(([nm]) => nm <= 699).map(([, ...bars]) => at(bars));

/** How far the colour lies on the way from white to the edge, by walking out until the edge is crossed. */
function purityOf([x, y]: number[]): number {
  const [dx, dy] = [x - white[0], y - white[1]];
  // Inside the closed polygon while the edge is crossed an odd number of times on the way to the right.
  const inside = (far: number) => {
    const [px, py] = [white[0] + far * dx, white[1] + far * dy];
    let crossings = 0;
    spectrum.forEach(([ax, ay], i) => {
      const [bx, by] = spectrum[(i + 1) % spectrum.length];
      if (ay > py !== by > py && px < ax + ((py - ay) / (by - ay)) * (bx - ax)) crossings += 1;
    });
    return crossings % 2;
  };
  return 1 / bisected((far) => inside(far) - 0.5, 0.5, 50);
}

/** J_n(z) by its power series. */
function bessel(n: number, z: number): number {
  let term = (z / 2) ** n;
  let sum = term;
  for (let k = 1; k < 20; k++) {
    term *= -((z / 2) ** 2) / (k * (k + n));
    sum += term;
  }
  return sum;
}

/** Wavelengths of the table in the text of 5.8, nm. */
const darkLines: readonly (readonly [number, string])[] = [
  [396.8, 'calcium'],
  [486.1, 'hydrogen'],
  [517.3, 'magnesium'],
  [527.0, 'iron'],
  [587.6, 'helium'],
  [589.3, 'sodium'],
  [656.3, 'hydrogen'],
  [686.7, 'oxygen'],
];

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);

  test('5.1: where the arrows of all slits first cancel', () => {
    desk.begin(student);
    const { count, spacing, wavelength, focalLength } = given;
    const amplitude = (s: number) => arrows(count, (spacing * s) / wavelength);
    // It changes its sign once from the middle to 1.4 λ/Nd; the second dark place is beyond.
    const s = bisected(amplitude, 0, (1.4 * wavelength) / (count * spacing));
    const x = (focalLength * s * 1e3) / Math.sqrt(1 - s * s);
    expectJudged(desk, '5.1', x, percent(1, x));
  });

  test('5.2: every wavelength from 400 to 700 nm of which whole numbers make the lag, one nanometre after the other', () => {
    desk.begin(student);
    const lag = (Math.sin(given.angle) / given.lines) * 1e9;
    const together: number[] = [];
    for (let nm = 700; nm > 400; nm -= 0.01)
      if (Math.floor(lag / (nm - 0.01)) > Math.floor(lag / nm)) together.push(nm - 0.005);
    expectJudged(
      desk,
      '5.2',
      together,
      together.map((each) => percent(0.5, each)),
    );
  });

  test('5.3: so many lines that one of the pair closes its polygon where the other is brightest: 5e-4 fewer', () => {
    desk.begin(student);
    const lines = closing(given.order * (longer / shorter - 1));
    const width = (lines / given.lines) * 1e3;
    // A whole number of lines, and the shorter wavelength for the mean: within a fifth of the 1 %.
    expectJudged(desk, '5.3', width, percent(1, width));
    const exact = shorter / (longer - shorter) / given.order;
    expect(Math.abs(lines - exact)).toBeLessThan(1);
    const mean = (shorter + longer) / 2 / (longer - shorter) / given.order;
    expect(1 - exact / mean).toBeCloseTo(5.07e-4, 6);
  });

  test('5.4: the square of the sum of the arrows', () => {
    desk.begin(student);
    const kept = (wavelength: number, count: number) => arrows(count, given.red / wavelength) ** 2;
    expect(desk.agrees('5.4', kept)).toBe(true);
    const off = (wavelength: number, count: number) => 1.003 * kept(wavelength, count);
    expect(desk.agrees('5.4', off)).toBe(false);
  });

  test('5.5: purities by a plain sum over wavelengths and a walk to the edge of all colours', () => {
    desk.begin(student);
    const purities = given.slides.map((count: number) =>
      purityOf(colourLeft((nm) => arrows(count, (given.red * 1e9) / nm) ** 2)),
    );
    expectJudged(
      desk,
      '5.5',
      purities,
      purities.map((each: number) => percent(0.5, each)),
    );
  });

  test('5.6: the sine whose ghosts are (J₁/J₀)² as strong, which is exact', () => {
    desk.begin(student);
    const turn = bisected((z) => (bessel(1, z) / bessel(0, z)) ** 2 - given.ghostStrength, 1e-6, 1);
    const swing = (turn / (2 * Math.PI * given.ghostOrder * given.lines)) * 1e9;
    // The sheet's formula is the first term of the series: half a percent more, of 1.5 % allowed.
    expectJudged(desk, '5.6', swing, percent(1.5, swing), 0.4);
  });

  test('5.7: the textbook’s slope of the widths against 1/N', () => {
    desk.begin(student);
    const { counts, centreWidths, focalLength, wavelength } = given;
    const n = counts.length;
    let [sx, sy, sxx, sxy] = [0, 0, 0, 0];
    counts.forEach((count: number, i: number) => {
      sx += 1 / count;
      sy += centreWidths[i];
      sxx += 1 / count ** 2;
      sxy += centreWidths[i] / count;
    });
    const slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
    const spacing = ((2 * focalLength * wavelength) / slope) * 1e6;
    expectJudged(desk, '5.7', spacing, percent(1.5, spacing));
    // The readings tell it to 1.2 % or better, as their uncertainty and the numbers of slits say.
    const u = given.readingUncertainty / Math.sqrt(sxx - (sx * sx) / n) / slope;
    expect(u).toBeLessThan(0.012);
    expect(Math.abs(spacing - 80)).toBeLessThan(20 * 1.05);
  });

  test('5.8: one line of the table lies there, and only its element is right', () => {
    desk.begin(student);
    const { darkLine, focalLength, lines } = given;
    const nm = (darkLine / Math.hypot(darkLine, focalLength) / lines) * 1e9;
    const near = darkLines.filter(([each]) => Math.abs(each - nm) < 0.3);
    expect(near).toHaveLength(1);
    for (const element of new Set(darkLines.map(([, name]) => name)))
      expect([element, desk.agrees('5.8', element)]).toEqual([element, element === near[0][1]]);
  });
});

test('student numbers draw other numbers of slits: every range is used', () => {
  const all = twentyStudents.map((student) => desk.begin(student));
  for (const i of [0, 1, 2, 3])
    expect(new Set(all.map(({ slides }) => slides[i])).size).toBeGreaterThan(1);
  for (const { slides, counts } of all)
    for (const list of [slides, counts])
      expect([...list].sort((a: number, b: number) => a - b)).toEqual(list);
  expect(new Set(all.map(({ counts }) => counts.join())).size).toBeGreaterThan(15);
});
