import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  findTilt,
  type Straight,
  straighten,
} from '../../../kernel-lib/fitting/picture/straighten';

const emptyBand = (length: number, offsets: number[]) => ({
  length,
  offsets,
  values: new Float32Array(length * offsets.length),
  saturated: new Uint8Array(length * offsets.length),
});
const rows = ({ bins }: Straight) => bins.map((lane) => [...lane]);

describe('without tilt every position is a pixel', () => {
  test.each([1, 2, 5, 8])('%i pixels', (length) => {
    const straight = straighten(emptyBand(length, [-1, 0, 1, 2]), 0);
    expect([straight.first, straight.length]).toEqual([0, length]);
    const all = Array.from({ length }, (_, p) => p);
    expect(rows(straight)).toEqual([all, all, all, all]);
    for (const lane of straight.beyond) expect([...lane].every((off) => off === 0)).toBe(true);
  });
});

test('fringes that lean by 0.1 rad: a lane 20 pixels further on is moved by 2', () => {
  const straight = straighten(emptyBand(40, [-20, 0, 20]), 0.1);
  // Position 20 is the middle: pixel 22 of the lane at −20, 20 and 18 of the others.
  const p = 20 - straight.first;
  expect(straight.bins.map((lane) => lane[p])).toEqual([22, 20, 18]);
  // (22 − 20) cos 0.1 − 20 sin 0.1 = −0.00666 pixels away from the middle.
  expect(straight.beyond.map((lane) => lane[p])).toEqual([
    expect.closeTo(-0.006658, 5),
    0,
    expect.closeTo(0.006658, 5),
  ]);
});

describe('by the definition t = i cos φ + v sin φ, counted from the middle pixel', () => {
  const band = fc.record({
    length: fc.integer({ min: 2, max: 24 }),
    offsets: fc.array(fc.integer({ min: -16, max: 24 }), { minLength: 1, maxLength: 5 }),
    tilt: fc.double({ min: -0.5, max: 0.5, noNaN: true }),
  });
  const middleOf = (length: number) => Math.floor(length / 2);
  const place = (length: number, tilt: number, i: number, v: number) =>
    (i - middleOf(length)) * Math.cos(tilt) + v * Math.sin(tilt) + middleOf(length);
  /** How near to position t the nearest pixel of a lane lies; further than half a pixel's own width: not reached. */
  const nearest = (length: number, tilt: number, t: number, v: number) =>
    Math.min(...Array.from({ length }, (_, i) => Math.abs(place(length, tilt, i, v) - t)));

  test('each cell is the nearest pixel of its lane, and so far beyond its position', () => {
    fc.assert(
      fc.property(band, ({ length, offsets, tilt }) => {
        const straight = straighten(emptyBand(length, offsets), tilt);
        for (const [k, v] of offsets.entries()) {
          for (let p = 0; p < straight.length; p++) {
            const t = straight.first + p;
            const i = straight.bins[k][p];
            const least = nearest(length, tilt, t, v);
            if (i < 0) expect(least).toBeGreaterThan(Math.cos(tilt) / 2 - 1e-6);
            else {
              expect(straight.beyond[k][p]).toBeCloseTo(place(length, tilt, i, v) - t, 5);
              expect(Math.abs(straight.beyond[k][p])).toBeCloseTo(least, 5);
              expect(least).toBeLessThan(Math.cos(tilt) / 2 + 1e-6);
            }
          }
        }
      }),
      { numRuns: 30 },
    );
  });

  test('positions run from the first to the last that half of the lanes reach', () => {
    const reachedBy = (length: number, tilt: number, t: number, offsets: number[], slack: number) =>
      offsets.filter((v) => nearest(length, tilt, t, v) <= Math.cos(tilt) / 2 + slack).length;
    const near = band.filter(({ offsets }) => Math.max(...offsets) - Math.min(...offsets) < 12);
    fc.assert(
      fc.property(near, ({ length, offsets, tilt }) => {
        const straight = straighten(emptyBand(length, offsets), tilt);
        const [from, to] = [straight.first, straight.first + straight.length];
        const half = offsets.length / 2;
        if (straight.length === 1) return;
        for (const end of [from, to - 1])
          expect(reachedBy(length, tilt, end, offsets, 1e-6)).toBeGreaterThanOrEqual(half);
        for (let away = 1; away < 30; away++)
          for (const outside of [from - away, to - 1 + away])
            expect(reachedBy(length, tilt, outside, offsets, -1e-6)).toBeLessThan(half);
        for (const list of [...straight.bins, ...straight.beyond])
          expect(list).toHaveLength(straight.length);
      }),
      { numRuns: 30 },
    );
  });
});

test('where half of the lanes reach is worked out for three lanes and for two', () => {
  // sin φ = ½: a lane at v is moved by v/2, and its 9 pixels cover 9 cos φ = 7.8 positions.
  const tilt = Math.PI / 6;
  const three = straighten(emptyBand(9, [-8, 0, 8]), tilt);
  // Around the middle, pixel 4: −7.9 … −0.1, −3.9 … 3.9 and 0.1 … 7.9. Two of three reach from −3 to 3.
  expect([three.first, three.first + three.length - 1]).toEqual([1, 7]);
  const two = straighten(emptyBand(9, [-8, 8]), tilt);
  // One of two is enough: from −7 to 7.
  expect([two.first, two.first + two.length - 1]).toEqual([-3, 11]);
});

interface Setting {
  readonly tilt: number;
  readonly offsets: readonly number[];
  readonly length?: number;
  /** By how much a lane is moved besides, pixels. */
  readonly moved?: (lane: number) => number;
  readonly gain?: (lane: number) => number;
  readonly stray?: (lane: number) => number;
  readonly pattern?: (t: number) => number;
}

/** Fringes of 12 pixels under a wide hump: lane v sees the pattern at i cos φ + v sin φ. */
const fringes = (t: number) => (1 + Math.cos((2 * Math.PI * t) / 12)) * Math.exp(-((t / 60) ** 2));
/** One smooth hump, so that its place is known whatever the step of the search. */
const hump = (t: number) => Math.exp(-((t / 14) ** 2));

function bandOf({
  tilt,
  offsets,
  length = 161,
  moved = () => 0,
  gain = () => 1,
  stray = () => 0,
  pattern = fringes,
}: Setting) {
  const values = new Float32Array(length * offsets.length);
  const middle = length >> 1;
  for (const [k, v] of offsets.entries())
    for (let i = 0; i < length; i++) {
      const t = (i - middle) * Math.cos(tilt) + v * Math.sin(tilt) - moved(k);
      values[k * length + i] = stray(k) + gain(k) * pattern(t);
    }
  return { length, values, saturated: new Uint8Array(values.length), offsets };
}

/** Middles of so many lanes, `apart` pixels from each other, around 0. */
const even = (count: number, apart = 1) =>
  Array.from({ length: count }, (_, k) => (k - (count - 1) / 2) * apart);

describe('a tilt is found', () => {
  test.each([-0.17, -0.09, -0.004, 0, 0.013, 0.11, 0.17])('of %f rad, in 24 lanes', (tilt) => {
    const found = findTilt(bandOf({ tilt, offsets: even(24, 4) }));
    expect(Math.abs(found - tilt)).toBeLessThan(3e-4);
  });

  test.each([4, 5, 23, 25, 47, 48, 100])('in %i lanes, neighbours put together or not', (count) => {
    const found = findTilt(bandOf({ tilt: 0.06, offsets: even(count, 96 / count) }));
    expect(Math.abs(found - 0.06)).toBeLessThan(8e-4);
  });

  test('beyond 10° when it is looked for there', () => {
    const band = bandOf({ tilt: -0.3, offsets: even(24, 4) });
    expect(Math.abs(findTilt(band, 0.35) + 0.3)).toBeLessThan(1e-3);
  });

  test('whatever the light of each lane: its strength and stray light on top', () => {
    const gain = (lane: number) => 0.2 + 0.1 * lane;
    const stray = (lane: number) => 3 - 0.2 * lane;
    const found = findTilt(bandOf({ tilt: 0.05, offsets: even(20, 5), gain, stray }));
    expect(Math.abs(found - 0.05)).toBeLessThan(1e-3);
  });

  test('lanes that lie to one side of the origin', () => {
    const offsets = even(20, 4).map((v) => v + 60);
    expect(Math.abs(findTilt(bandOf({ tilt: 0.08, offsets })) - 0.08)).toBeLessThan(3e-4);
  });
});

describe('lanes that do not lie on one line', () => {
  const offsets = [-50, -42, -35, -20, -11, 0, 4, 19, 33, 60];
  const moved = [0.5, -1, 0.3, 0.8, -0.6, 0.9, -0.2, 0.4, -0.7, 1.2];
  const uneven = [1, 0.5, 2, 1, 1, 0.3, 1.2, 1, 0.8, 0.6];

  /** Slope of the straight line through the moves, each weighted by the square of its lane's strength. */
  function slopeOf(gains: readonly number[]) {
    const weights = gains.map((gain) => gain * gain);
    const all = weights.reduce((a, b) => a + b);
    const mean = (list: readonly number[]) => list.reduce((s, x, k) => s + weights[k] * x, 0) / all;
    const [v, m] = [mean(offsets), mean(moved)];
    const product = mean(offsets.map((x, k) => (x - v) * (moved[k] - m)));
    return product / mean(offsets.map((x) => (x - v) ** 2));
  }

  test.each([
    ['alike', uneven.map(() => 1)],
    ['strong and weak', uneven],
  ])('%s: the best line through their shifts', (_, gains) => {
    for (const tilt of [0, 0.03]) {
      const gain = (k: number) => gains[k];
      const found = findTilt(
        bandOf({ tilt, offsets, moved: (k) => moved[k], gain, pattern: hump }),
      );
      expect(Math.abs(Math.sin(found) - Math.sin(tilt) + slopeOf(gains))).toBeLessThan(5e-5);
    }
  });

  test.each([10, 48])('what is saturated has no say, in %i lanes', (count) => {
    const aside = (k: number) => k >= 0.8 * count;
    const band = bandOf({
      tilt: 0.05,
      offsets: even(count, 96 / count),
      moved: (k) => (aside(k) ? -5 : 0),
      pattern: hump,
    });
    expect(Math.abs(findTilt(band) - 0.05)).toBeGreaterThan(0.03);
    for (let i = 0; i < band.saturated.length; i++)
      if (aside(Math.floor(i / band.length))) band.saturated[i] = 1;
    expect(Math.abs(findTilt(band) - 0.05)).toBeLessThan(1e-4);
  });

  test('nor has a lane that is dark where the others are bright', () => {
    const odd = (k: number) => k >= 10;
    const setting = { tilt: 0.04, offsets: even(12, 8), pattern: hump };
    const gain = (k: number) => (odd(k) ? -0.5 : 1);
    const found = findTilt(bandOf({ ...setting, gain, moved: (k) => (odd(k) ? 3 : 0) }));
    expect(Math.abs(found - 0.04)).toBeLessThan(1e-4);
  });
});

describe('what cannot be found', () => {
  test('fewer than four lanes tell no tilt, four do', () => {
    for (const count of [1, 2, 3])
      expect(findTilt(bandOf({ tilt: 0.1, offsets: even(count, 20) }))).toBe(0);
    expect(findTilt(bandOf({ tilt: 0.1, offsets: even(4, 20) }))).toBeCloseTo(0.1, 3);
  });

  test('a lean that lies far outside the search range: a search that ends at its limit is refused', () => {
    for (const tilt of [-0.2, 0.2]) {
      const band = bandOf({ tilt, offsets: even(24, 4), pattern: hump });
      expect(() => findTilt(band, 0.02)).toThrow(RangeError);
      expect(() => findTilt(band, 0.02)).toThrow(/lean ended at its limit of 1°.*Give tilt in rad/);
    }
  });

  test('in bands of a few pixels the tilt is a finite number within the range', () => {
    for (let length = 1; length <= 9; length++) {
      const pattern = (t: number) => Math.exp(-((t / 2) ** 2));
      const found = findTilt(bandOf({ tilt: 0.1, offsets: even(8), length, pattern }));
      expect(Math.abs(found)).toBeLessThan(1.5 * (Math.PI / 18));
    }
  });
});
