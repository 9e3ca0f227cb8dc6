import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Straight, straighten } from '../../../kernel-lib/fitting/picture/straighten';

const bandOf = (length: number, offsets: number[]) => ({
  length,
  offsets,
  values: new Float32Array(length * offsets.length),
  saturated: new Uint8Array(length * offsets.length),
});
const rows = ({ bins }: Straight) => bins.map((lane) => [...lane]);

describe('without tilt every position is a pixel', () => {
  test.each([1, 2, 5, 8])('%i pixels', (length) => {
    const straight = straighten(bandOf(length, [-1, 0, 1, 2]), 0);
    expect([straight.first, straight.length]).toEqual([0, length]);
    const all = Array.from({ length }, (_, p) => p);
    expect(rows(straight)).toEqual([all, all, all, all]);
    for (const lane of straight.beyond) expect([...lane].every((off) => off === 0)).toBe(true);
  });
});

test('fringes that lean by 0.1 rad: a lane 20 pixels further on is moved by 2', () => {
  const straight = straighten(bandOf(40, [-20, 0, 20]), 0.1);
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
        const straight = straighten(bandOf(length, offsets), tilt);
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
        const straight = straighten(bandOf(length, offsets), tilt);
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
  const three = straighten(bandOf(9, [-8, 0, 8]), tilt);
  // Around the middle, pixel 4: −7.9 … −0.1, −3.9 … 3.9 and 0.1 … 7.9. Two of three reach from −3 to 3.
  expect([three.first, three.first + three.length - 1]).toEqual([1, 7]);
  const two = straighten(bandOf(9, [-8, 8]), tilt);
  // One of two is enough: from −7 to 7.
  expect([two.first, two.first + two.length - 1]).toEqual([-3, 11]);
});
