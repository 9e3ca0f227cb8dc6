import { describe, expect, test } from 'vitest';
import { smoothVariance } from '../../kernel-lib/fitting/picture/average-lanes';

const ramp = (count: number, from: number, to: number) =>
  Float64Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
const none = (count: number) => new Uint8Array(count);

describe('a variance that is α + βy + γy² comes back', () => {
  const signal = ramp(21, 100, 300);
  test.each<[string, (y: number) => number]>([
    ['dark noise alone', () => 5],
    ['photons', (y) => 2 * y],
    ['unsteadiness', (y) => 1e-4 * y * y],
    ['dark noise and photons', (y) => 4 + 0.3 * (y - 100)],
    ['dark noise and unsteadiness', (y) => 7 + 2e-3 * (y - 100) ** 2],
    ['all three', (y) => 3 + 0.02 * (y - 100) + 1e-3 * (y - 100) ** 2],
  ])('%s', (_name, variance) => {
    const smooth = smoothVariance(signal, signal.map(variance), none(21));
    for (const y of [100, 117.3, 200, 256, 300]) expect(smooth(y) / variance(y)).toBeCloseTo(1, 9);
    // Signals beyond those measured have the variance of the nearest one.
    expect(smooth(20)).toBe(smooth(100));
    expect(smooth(1e6)).toBe(smooth(300));
  });
});

describe('a variance that no such law gives', () => {
  const three = Float64Array.from({ length: 12 }, (_, i) => 10 + 20 * (i % 3));
  const levels = (...values: number[]) =>
    Float64Array.from({ length: 12 }, (_, i) => values[i % 3]);

  test('falling with the signal: no share is negative, so one value for all, their mean', () => {
    const smooth = smoothVariance(three, levels(9, 4, 2), none(12));
    for (const y of [10, 30, 50]) expect(smooth(y)).toBeCloseTo(5, 9);
  });

  test('bent downwards: a straight line, weighted four times by the one before', () => {
    // Levels 1, 4, 5 at 0, ½, 1 of the range; sums of the normal equations by hand, each over its level's weight.
    let at = [1, 1, 1];
    for (let round = 0; round < 4; round++) {
      const w = at.map((value) => 1 / value ** 2);
      const s = w[0] + w[1] + w[2];
      const sx = w[1] / 2 + w[2];
      const sxx = w[1] / 4 + w[2];
      const sy = w[0] + 4 * w[1] + 5 * w[2];
      const sxy = 2 * w[1] + 5 * w[2];
      const slope = (s * sxy - sx * sy) / (s * sxx - sx * sx);
      const offset = (sy - slope * sx) / s;
      at = [offset, offset + slope / 2, offset + slope];
    }
    const smooth = smoothVariance(three, levels(1, 4, 5), none(12));
    for (const [k, y] of [10, 30, 50].entries()) expect(smooth(y)).toBeCloseTo(at[k], 9);
  });

  test('none at the lowest signal: a ten-thousandth of the mean is left', () => {
    const smooth = smoothVariance(three, levels(0, 3, 6), none(12));
    expect(smooth(10)).toBeCloseTo(3e-4, 12);
    expect(smooth(30)).toBeCloseTo(3, 6);
    expect(smooth(50)).toBeCloseTo(6, 6);
  });
});

describe('what is left out, and too little to go by', () => {
  test('positions that say nothing have no say', () => {
    const signal = ramp(15, 0, 14);
    const variance = signal.map((y) => 2 + y);
    const leaveOut = none(15);
    // A saturated peak: the largest signals, with no scatter at all.
    for (const p of [12, 13, 14]) [variance[p], leaveOut[p]] = [0, 1];
    const smooth = smoothVariance(signal, variance, leaveOut);
    for (const y of [0, 5, 11]) expect(smooth(y)).toBeCloseTo(2 + y, 9);
    expect(smooth(14)).toBe(smooth(11));
  });

  test('fewer than ten positions tell one value only, ten a law', () => {
    const nine = ramp(9, 0, 8);
    const smooth = smoothVariance(
      nine,
      nine.map((y) => 1 + y),
      none(9),
    );
    for (const y of [0, 8]) expect(smooth(y)).toBeCloseTo(5, 12);
    const ten = ramp(10, 0, 9);
    const law = smoothVariance(
      ten,
      ten.map((y) => 1 + y),
      none(10),
    );
    for (const y of [0, 8]) expect(law(y)).toBeCloseTo(1 + y, 9);
  });

  test('one signal everywhere: the mean of the variances', () => {
    const flat = new Float64Array(12).fill(40);
    const variance = Float64Array.from(flat, (_, i) => 1 + i);
    expect(smoothVariance(flat, variance, none(12))(40)).toBeCloseTo(6.5, 9);
  });

  test('a variance is above 0 even where nothing scatters or nothing may be used', () => {
    const still = smoothVariance(ramp(12, 0, 1), new Float64Array(12), none(12));
    for (const y of [0, 0.5, 1]) {
      expect(still(y)).toBeGreaterThan(0);
      expect(still(y)).toBeLessThan(1e-15);
    }
    const all = new Uint8Array(12).fill(1);
    expect(smoothVariance(ramp(12, 0, 1), ramp(12, 1, 2), all)(0.5)).toBe(1e-18);
  });
});
