import { describe, expect, test } from 'vitest';
import { averageLanes } from '../../../kernel-lib/fitting/picture/average-lanes';
import type { Band, Straight } from '../../../kernel-lib/fitting/picture/straighten';

/** A band of these lanes; `full` names its saturated pixels as [lane, pixel]. */
function band(lanes: readonly (readonly number[])[], full: readonly [number, number][] = []): Band {
  const { length } = lanes[0];
  const saturated = new Uint8Array(lanes.length * length);
  for (const [lane, i] of full) saturated[lane * length + i] = 1;
  const offsets = lanes.map((_, v) => v - (lanes.length - 1) / 2);
  return { length, values: Float32Array.from(lanes.flat()), saturated, offsets };
}

/** Position p of lane v is its pixel `bins[v][p]`, which lies `beyond[v]` pixels further on. */
function laid(bins: readonly (readonly number[])[], beyond: readonly number[]): Straight {
  return {
    first: 0,
    length: bins[0].length,
    bins: bins.map((lane) => Int32Array.from(lane)),
    beyond: bins.map((lane, v) => new Float32Array(lane.length).fill(beyond[v])),
  };
}

const upTo = (length: number) => Array.from({ length }, (_, i) => i);
/** Lanes as they lie: pixel p at position p. */
const plain = ({ length, offsets }: Band) =>
  laid(
    offsets.map(() => upTo(length)),
    offsets.map(() => 0),
  );

// Small whole numbers and halves: exact as 32-bit numbers too.
const signal = [1, 2, 3, 4];
/** Neither a factor nor an offset can make it: Σ n = 0 and Σ n y = 0. */
const noise = [1, -1, -1, 1];

describe('the mean', () => {
  test('of all lanes at each position', () => {
    const lanes = band([
      [1, 5, 2],
      [3, 6, 4],
      [8, 7, 0],
    ]);
    expect([...averageLanes(lanes, plain(lanes)).y]).toEqual([4, 6, 2]);
  });

  test('only of the lanes that reach a position, and of the pixels that belong to it', () => {
    const lanes = band([
      [10, 20, 30],
      [40, 60, 80],
    ]);
    const straight = laid(
      [
        [0, 1, 2, -1],
        [-1, 0, 1, 2],
      ],
      [0, 0],
    );
    const { y } = averageLanes(lanes, straight);
    expect([...y]).toEqual([10, 30, 45, 80]);
  });

  test('no lane at a position: no signal there', () => {
    const lanes = band([[4, 5]]);
    expect([...averageLanes(lanes, laid([[0, -1, 1]], [0])).y]).toEqual([4, 0, 5]);
  });

  const parabola = (x: number) => 3 + 2 * x + x * x;
  // They average 0, as those of a tilted band do.
  const beyond = [0.5, -0.25, -0.25];
  const tilted = (full: readonly [number, number][] = []) =>
    averageLanes(
      band(
        beyond.map((by) => upTo(9).map((p) => parabola(p + by))),
        full,
      ),
      laid(
        beyond.map(() => upTo(9)),
        beyond,
      ),
    );

  test('pixels that lie a part of a pixel off their position are brought there along a parabola', () => {
    const { y } = tilted();
    for (let p = 1; p < 8; p++) expect(y[p]).toBeCloseTo(parabola(p), 9);
    for (const p of [0, 8]) expect(Math.abs(y[p] / parabola(p) - 1)).toBeLessThan(0.05);
  });

  test('what is brought along a parabola is not taken for noise', () => {
    // The ends, where a parabola cannot be told, are left out as saturated.
    const { u } = tilted([
      [1, 0],
      [1, 8],
    ]);
    for (let p = 1; p < 8; p++) expect(u[p]).toBeLessThan(1e-6);
  });
});

describe('saturation', () => {
  test('of any lane makes the position saturated', () => {
    const lanes = band([signal, signal, signal], [[1, 2]]);
    expect([...averageLanes(lanes, plain(lanes)).saturated]).toEqual([0, 0, 1, 0]);
  });

  test('of a pixel that belongs to no position does not count', () => {
    const lanes = band(
      [
        [1, 2, 3],
        [1, 2, 3],
      ],
      [
        [0, 2],
        [1, 0],
      ],
    );
    const straight = laid(
      [
        [0, 1],
        [1, 2],
      ],
      [0, 0],
    );
    expect([...averageLanes(lanes, straight).saturated]).toEqual([0, 0]);
  });
});

describe('the uncertainty of the mean', () => {
  /** Lanes that are `gains[v]` times the signal with `sizes[v]` times the noise, and an offset. */
  const scattered = (sizes: readonly number[], gains: readonly number[], offsets: number[]) =>
    band(sizes.map((size, v) => signal.map((y, p) => gains[v] * y + offsets[v] + size * noise[p])));
  const uOf = (lanes: Band) => [...averageLanes(lanes, plain(lanes)).u];

  test('√(Σ deviations² / (lanes − 1) / lanes), over few positions their mean', () => {
    // Deviations ±½, ∓½ of two lanes: variance ½, of the mean ¼.
    for (const u of uOf(scattered([0.5, -0.5], [1, 1], [0, 0]))) expect(u).toBeCloseTo(0.5, 9);
    // ±1, ∓½, ∓½ of three lanes: variance ¾, of the mean ¼.
    for (const u of uOf(scattered([1, -0.5, -0.5], [1, 1, 1], [0, 0, 0])))
      expect(u).toBeCloseTo(0.5, 9);
  });

  test('a factor and an offset of each lane are not noise', () => {
    for (const u of uOf(scattered([0, 0, 0], [0.5, 2, 0.5], [3, -1, 7])))
      expect(u).toBeLessThan(1e-7);
    // The mean of the factors is 1 and that of the offsets 0, so the mean is the signal and the noise as before.
    for (const u of uOf(scattered([0.5, -0.5], [0.5, 1.5], [2, -2]))) expect(u).toBeCloseTo(0.5, 9);
  });

  test('a signal that is the same everywhere: each lane has its own offset only', () => {
    const lanes = band([
      [6, 5, 5, 6],
      [4, 5, 5, 4],
    ]);
    // Mean 5; offsets ±½; deviations ±½: as above.
    for (const u of uOf(lanes)) expect(u).toBeCloseTo(0.5, 9);
  });

  test('a saturated position tells nothing, neither of the lanes nor of the noise', () => {
    const [one, other] = [0.5, -0.5].map((size) => signal.map((y, p) => y + size * noise[p]));
    const lanes = band(
      [
        [...one, 100],
        [...other, 40],
      ],
      [[0, 4]],
    );
    const { u } = averageLanes(lanes, plain(lanes));
    for (let p = 0; p < 4; p++) expect(u[p]).toBeCloseTo(0.5, 9);
  });

  test('a position that one lane alone reaches has the noise of the others, unaveraged', () => {
    const [one, other] = [0.5, -0.5].map((size) => signal.map((y, p) => y + size * noise[p]));
    const lanes = band([
      [...one, 5],
      [...other, 0],
    ]);
    const straight = laid(
      [
        [0, 1, 2, 3, 4],
        [0, 1, 2, 3, -1],
      ],
      [0, 0],
    );
    const { u } = averageLanes(lanes, straight);
    expect(u[4] / u[0]).toBeCloseTo(Math.SQRT2, 9);
    expect(u[0]).toBeGreaterThan(0.3);
    expect(u[0]).toBeLessThan(0.5);
  });

  /**
   * u² at each level of signal, for two lanes whose deviations ±√v cancel over two positions, so that no factor and no offset
   * comes of them: the variance of a pixel is 2v there, of the mean v.
   */
  function squares(levels: readonly number[], variance: readonly number[], full = 0) {
    const lane = (sign: number) =>
      levels.flatMap((y, k) => [1, -1].map((other) => y + sign * other * Math.sqrt(variance[k])));
    const lanes = band(
      [lane(1), lane(-1)],
      upTo(2 * full).map((k) => [0, 2 * levels.length - 1 - k]),
    );
    const { u } = averageLanes(lanes, plain(lanes));
    return levels.map((_, k) => u[2 * k] ** 2);
  }
  const even = upTo(11).map((k) => 128 + 32 * k);

  test.each<[string, (y: number) => number]>([
    ['dark noise alone', () => 4],
    ['photons', (y) => y - 128],
    ['dark noise and photons', (y) => 4 + (y - 128) / 8],
    ['dark noise and unsteadiness', (y) => 4 + ((y - 128) / 64) ** 2],
    ['all three', (y) => 4 + (y - 128) / 8 + ((y - 128) / 64) ** 2],
  ])('a variance α + βy + γy² comes back: %s', (_, variance) => {
    const found = squares(even, even.map(variance));
    const mean = even.map(variance).reduce((a, b) => a + b) / even.length;
    // A ten-thousandth of the mean is left where there is none; values are kept in 32 bits.
    for (const [k, y] of even.entries())
      expect(Math.abs(found[k] - variance(y))).toBeLessThan(2e-4 * mean);
  });

  test('falling with the signal: no share is negative, so one value for all, their mean', () => {
    const levels = upTo(12).map((k) => 64 + 32 * (k % 3));
    const variance = levels.map((y) => ({ 64: 9, 96: 4, 128: 2 })[y] as number);
    for (const square of squares(levels, variance)) expect(square).toBeCloseTo(5, 4);
  });

  test('saturated positions have no say in it', () => {
    const variance = even.map((y, k) => (k > 8 ? 0 : 4 + (y - 128) / 8));
    const found = squares(even, variance, 2);
    for (let k = 0; k < 9; k++) expect(found[k] / variance[k]).toBeCloseTo(1, 4);
  });

  test('few positions tell one value only: their mean', () => {
    for (const square of squares([64, 96, 128, 160], [1, 2, 3, 6]))
      expect(square).toBeCloseTo(3, 4);
  });
});
