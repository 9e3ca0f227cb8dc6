import { describe, expect, test } from 'vitest';
import { measured, vernierFigure } from '../../kernel-lib/index';
import key from '../../worksheets/06-reading-the-spectrometer/key';
import { deskFor, expectJudged, twentyStudents } from './judged';
import { bisected, lowest } from './plain-ways';

// Every answer worked out in another way than the sheet does, from what `begin` gives a student.
const desk = deskFor(key);
const degree = Math.PI / 180;

/** Half of the way from right to left, on paper: in degrees, past the circle's zero where that lies between. */
function halfWay(left: number, right: number): number {
  const [l, r] = [left / degree, right / degree];
  return ((((l - r) % 360) + 360) % 360) / 2;
}

/** Mean of two opposite verniers, in radians: the second read as what stands opposite to it. */
function meanOf({ first, second }: { first: number; second: number }): number {
  const opposite = second > Math.PI ? second - Math.PI : second + Math.PI;
  return (first + opposite) / 2;
}

interface Setting {
  order: number;
  left: number;
  right: number;
}
interface Known extends Setting {
  wavelength: number;
}

/** χ² of a spacing (nm), each sine weighted by the uncertainty that half of a difference has. */
function chiSquare(known: readonly Known[], u: number, spacing: number): number {
  return known.reduce((sum, { left, right, order, wavelength }) => {
    const theta = halfWay(left, right) * degree;
    const miss = Math.sin(theta) - (order * wavelength * 1e9) / spacing;
    return sum + (miss / (Math.cos(theta) * u)) ** 2;
  }, 0);
}

/** The spacing with the least χ², and how far one has to go until χ² has grown by 1, nm. */
function fitted(known: readonly Known[], directionUncertainty: number) {
  const u = Math.hypot(directionUncertainty, directionUncertainty) / 2;
  const at = (spacing: number) => chiSquare(known, u, spacing);
  // The lowest place of a parabola is flat: halving finds it better where the slope changes its sign.
  const slope = (spacing: number) => at(spacing + 0.01) - at(spacing - 0.01);
  const value = bisected(slope, 1500, 1800);
  const grown = (by: number) => at(value + by) - at(value) - 1;
  return { value, u: bisected(grown, 0, 5) };
}

/** Lines in air by NIST ASD as stored (data/SOURCES.md), nm. */
const lamps: Record<string, number[]> = {
  cadmium: [479.991, 508.582, 643.847],
  helium: [447.148, 587.562, 667.815],
  hydrogen: [434.047, 486.135, 656.28],
};

/** What the words below the drawing of a vernier say to one who cannot see it, in degrees. */
function readWords(alt: string): number {
  const [, from, tenths] = alt.match(/between (\d+)° and \d+°, about (\d+) tenths/)!.map(Number);
  const told = [...alt.matchAll(/line (\d+) by (\d\.\d\d)/g)].map(([, line, past]) => [
    +line,
    +past,
  ]);
  const minutes = Array.from({ length: 60 }, (_, m) => m);
  const misses = (m: number) =>
    told.reduce((sum, [line, past]) => {
      const short = (m - line) / 30 - past;
      return sum + Math.abs(short - Math.round(short));
    }, 0) + Math.max(0, Math.abs(m / 60 - tenths / 10) - 0.051);
  return from + minutes.reduce((a, b) => (misses(b) < misses(a) ? b : a)) / 60;
}

/** Angle from the normal at which the light of neighbouring lines lags by `lag`, the beam met at `tilt`. */
const towards = (spacing: number, tilt: number, lag: number) =>
  bisected((theta) => spacing * (Math.sin(theta) - Math.sin(tilt)) - lag, -1.5, 1.5);

describe.each(twentyStudents)('student %s', (student) => {
  const given = desk.begin(student);

  test('6.1: where the lag of neighbours is whole wavelengths, by halving', () => {
    desk.begin(student);
    const own = (order: number, wavelength: number) => towards(given.label, 0, order * wavelength);
    expect(desk.agrees('6.1', own)).toBe(true);
    for (const off of [-0.01, 0.01])
      expect(desk.agrees('6.1', (m: number, w: number) => own(m, w) + off)).toBe(false);
  });

  test('6.2: read from the words below the drawing', () => {
    desk.begin(student);
    expectJudged(desk, '6.2', readWords(vernierFigure(given.vernier).alt), 0.4 / 60);
  });

  test('6.3: means and half of the difference, in degrees on paper', () => {
    desk.begin(student);
    const { left, right } = given.green;
    expectJudged(desk, '6.3', halfWay(meanOf(left), meanOf(right)), 0.3 / 60);
  });

  const spacing = fitted(given.known, given.directionUncertainty);
  const thetaU = Math.sqrt(2 * given.directionUncertainty ** 2) / 2;
  const found = given.unknown.map(({ left, right, order }: Setting) => {
    const theta = halfWay(left, right) * degree;
    const at = (angle: number, d: number) => (d * Math.sin(angle)) / order;
    // Both causes moved by their uncertainty, one after the other.
    const byAngle = (at(theta + thetaU, spacing.value) - at(theta - thetaU, spacing.value)) / 2;
    const bySpacing =
      (at(theta, spacing.value + spacing.u) - at(theta, spacing.value - spacing.u)) / 2;
    return { value: at(theta, spacing.value), byAngle, bySpacing };
  });

  test('6.4: the least χ², and how far until it has grown by 1', () => {
    desk.begin(student);
    const { value, u } = spacing;
    const agrees = (by: number, times: number) =>
      desk.agrees('6.4', measured(value + by * u, times * u));
    for (const by of [-1.9, 0, 1.9]) expect(agrees(by, 1)).toBe(true);
    for (const by of [-2.1, 2.1, 5]) expect(agrees(by, 1)).toBe(false);
    for (const times of [0.85, 1.18]) expect(agrees(0, times)).toBe(true);
    for (const times of [0.5, 0.81, 1.23, Math.SQRT2]) expect(agrees(0, times)).toBe(false);
    expect(desk.agrees('6.4', value)).toBe(false);
  });

  test('6.5: wavelengths, each cause of their uncertainty moved by itself', () => {
    desk.begin(student);
    const answer = (which: number, by: number, times: number) =>
      found.map(({ value, byAngle, bySpacing }: (typeof found)[number], i: number) => {
        const u = Math.hypot(byAngle, bySpacing);
        return measured(value + (i === which ? by * u : 0), i === which ? times * u : u);
      });
    expect(desk.agrees('6.5', answer(0, 0, 1))).toBe(true);
    for (const which of [0, 1, 2]) {
      for (const by of [-1.9, 1.9]) expect(desk.agrees('6.5', answer(which, by, 1))).toBe(true);
      for (const by of [-2.1, 2.1, 6]) expect(desk.agrees('6.5', answer(which, by, 1))).toBe(false);
      for (const times of [0.8, 1.25])
        expect(desk.agrees('6.5', answer(which, 0, times))).toBe(false);
    }
  });

  test('6.6: the one lamp of which all three lines lie within four uncertainties', () => {
    desk.begin(student);
    const near = Object.entries(lamps).filter(([, lines]) =>
      lines.every((line, i) => {
        const { value, byAngle, bySpacing } = found[i];
        return Math.abs(value - line) < 4 * Math.hypot(byAngle, bySpacing);
      }),
    );
    expect(near).toHaveLength(1);
    for (const name of Object.keys(lamps))
      expect(desk.agrees('6.6', name), name).toBe(name === near[0][0]);
    expect(desk.agrees('6.6', 'mercury')).toBe(false);
  });

  test('6.7: the angle’s part of the sum of squares', () => {
    desk.begin(student);
    const { byAngle, bySpacing } = found[2];
    expectJudged(desk, '6.7', (100 * byAngle ** 2) / (byAngle ** 2 + bySpacing ** 2), 2);
  });

  test('6.8: both angles by halving, then the wavelength whose untilted angle is half of their difference', () => {
    desk.begin(student);
    const lag = 2 * 546.075e-9;
    const left = towards(given.label, given.tilt, lag);
    const right = towards(given.label, given.tilt, -lag);
    const wrong = lowest(
      (nm) => Math.abs(towards(given.label, 0, 2e-9 * nm) - (left - right) / 2),
      500,
      600,
    );
    expectJudged(desk, '6.8', wrong, 0.2);
  });
});
