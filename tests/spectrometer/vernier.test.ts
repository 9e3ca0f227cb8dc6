import { describe, expect, test } from 'vitest';
import { seeded } from '../../kernel-lib/numerics/random';
import { type VernierScale, vernierScale } from '../../kernel-lib/spectrometer/vernier';

const second = Math.PI / 648000;
const angle = (degrees: number, minutes = 0, seconds = 0) =>
  (degrees * 3600 + minutes * 60 + seconds) * second;
const inSeconds = (value: number) => Math.round(value / second);

/** Reads the drawing as a person does: the pair of lines that stand nearest to one another. */
function readByEye(scale: VernierScale) {
  const pairs = scale.vernier.slice(0, scale.divisions).map((line) => {
    const main = scale.main.reduce((a, b) =>
      Math.abs(b.angle - line.angle) < Math.abs(a.angle - line.angle) ? b : a,
    );
    return { index: line.index, gap: Math.abs(main.angle - line.angle) };
  });
  return pairs.reduce((a, b) => (b.gap < a.gap ? b : a)).index;
}

test('12° 47′ on a circle with half degrees and a 1′ vernier: 12° 30′ and line 17', () => {
  const scale = vernierScale(angle(12, 47));
  expect(scale.divisions).toBe(30);
  expect(inSeconds(scale.mainDivision)).toBe(1800);
  expect(inSeconds(scale.mainReading)).toBe(12 * 3600 + 1800);
  expect(scale.coinciding).toBe(17);
  expect(inSeconds(scale.reading)).toBe(12 * 3600 + 47 * 60);
});

test('30 vernier divisions are as long as 29 main divisions', () => {
  const { vernier, mainDivision } = vernierScale(angle(1));
  expect((vernier[30].angle - vernier[0].angle) / mainDivision).toBeCloseTo(29, 9);
});

describe.each([
  [60, 1800, 30],
  [30, 1200, 40],
  [20, 1200, 60],
  [10, 600, 60],
])('least count %i″', (least, division, divisions) => {
  const leastCount = least * second;

  test(`usual circle: main division ${division / 60}′, ${divisions} vernier divisions`, () => {
    const scale = vernierScale(1, { leastCount });
    expect(inSeconds(scale.mainDivision)).toBe(division);
    expect(scale.vernier).toHaveLength(divisions + 1);
  });

  test('300 angles: the coinciding lines are those of the reading, and the reading is the nearest multiple', () => {
    const random = seeded(`vernier ${least}`);
    for (let k = 0; k < 300; k++) {
      const where = random.uniform() * 2 * Math.PI;
      for (const exact of [false, true]) {
        const scale = vernierScale(where, { leastCount, exact });
        expect(readByEye(scale)).toBe(scale.coinciding);
        expect(inSeconds(scale.mainReading + scale.vernierReading) % 1296000).toBe(
          inSeconds(scale.reading),
        );
        expect(inSeconds(scale.reading) % least).toBe(0);
        const off = Math.abs(
          inSeconds(where) - inSeconds(scale.mainReading + scale.vernierReading),
        );
        expect(off).toBeLessThanOrEqual(least / 2 + 1);
      }
    }
  });

  test('the vernier zero lies between its main line and the next', () => {
    const scale = vernierScale(angle(200, 13, 20), { leastCount });
    const zero = scale.vernier[0].angle;
    const before = scale.main.filter((line) => line.angle <= zero + 1e-9).at(-1)!;
    expect(inSeconds(before.angle)).toBe(inSeconds(scale.mainReading));
  });
});

test('across 360° lines go on, labels start again', () => {
  const scale = vernierScale(angle(359, 59));
  expect(scale.main.filter((line) => line.label).map((line) => line.label)).toContain('0°');
  expect(scale.main.every((line, i) => i === 0 || line.angle > scale.main[i - 1].angle)).toBe(true);
  expect(vernierScale(angle(360) - 1e-7).reading).toBe(0);
  expect(vernierScale(-angle(0, 1)).reading).toBeCloseTo(angle(359, 59), 12);
});

test('labels of the vernier are its minutes', () => {
  const { vernier } = vernierScale(0);
  expect(vernier.filter((line) => line.label).map((line) => line.label)).toEqual([
    '0',
    '5',
    '10',
    '15',
    '20',
    '25',
    '30',
  ]);
});

describe('impossible verniers', () => {
  test('a least count that does not divide the main division', () => {
    expect(() => vernierScale(1, { leastCount: 7 * second, mainDivision: 1800 * second })).toThrow(
      /1800″ cannot be read to 7″/,
    );
    expect(() => vernierScale(1, { leastCount: 7 * second })).toThrow(/No usual main scale/);
  });
  test('degrees taken for radians', () => {
    expect(() => vernierScale(1, { leastCount: 1 })).toThrow(/small positive angle in radians/);
    expect(() => vernierScale(Number.NaN)).toThrow(/angle must be finite/);
  });
});
