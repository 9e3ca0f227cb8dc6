import { describe, expect, test } from 'vitest';
import { norm } from '../../kernel-lib/fitting/derivatives';
import { asked, error, type Model } from './asked-derivatives';

const decay: Model = (t, [a, b]) => a * Math.exp(-b * t);
const byA = (t: number) => Math.exp(-0.7 * t);
const byB = (t: number) => -3 * t * Math.exp(-0.7 * t);

describe('a model that changes over the size of its parameters', () => {
  test('ten digits from two calls for each parameter, thirteen from four', () => {
    const coarse = asked(decay, [3, 0.7]);
    expect(coarse.calls).toHaveLength(4);
    expect(error(coarse.columns[0], byA)).toBeLessThan(1e-10);
    expect(error(coarse.columns[1], byB)).toBeLessThan(1e-10);
    const fine = asked(decay, [3, 0.7], { fine: true });
    expect(fine.calls).toHaveLength(8);
    expect(error(fine.columns[0], byA)).toBeLessThan(1e-12);
    expect(error(fine.columns[1], byB)).toBeLessThan(1e-12);
  });

  test('one parameter is moved at a time, the same way to both sides', () => {
    const { calls } = asked(decay, [3, 0.7]);
    const moved = calls.map(([a, b]) => [a - 3, b - 0.7]);
    expect(moved.map((by) => by.map(Math.sign))).toEqual([
      [-1, 0],
      [1, 0],
      [0, -1],
      [0, 1],
    ]);
    expect(moved[0][0]).toBe(-moved[1][0]);
  });

  test.each([0.1, -3.7, 1234.56, 1e-9, -7e12])(
    'steps are numbers of the machine: dp/dp = 1 exactly at %d',
    (p) => {
      const [column] = asked((_, [value]) => value, [p]).columns;
      expect([...column]).toEqual([1, 1, 1, 1, 1]);
    },
  );

  test('a parameter that does nothing has no slope, and no more than two calls', () => {
    const { columns, calls } = asked((t) => t, [5]);
    expect([...columns[0]]).toEqual([0, 0, 0, 0, 0]);
    expect(calls).toHaveLength(2);
  });
});

describe('a model that changes over another length than its parameters are long', () => {
  test.each<[string, Model, number, number | undefined, (t: number) => number]>([
    [
      'a peak a millionth as wide as it is far away',
      (t, [p]) => Math.exp(-(((p - 1e6) / 2 + t) ** 2)),
      1e6,
      undefined,
      (t) => -t * Math.exp(-t * t),
    ],
    [
      'a rate far from 1/t',
      (t, [p]) => Math.exp(-p * t),
      1e-6,
      undefined,
      (t) => -t * (1 - t * 1e-6),
    ],
    [
      'a rate farther off',
      (t, [p]) => Math.exp(-p * t),
      1e-9,
      undefined,
      (t) => -t * (1 - t * 1e-9),
    ],
    ['a small slope on a large offset', (t, [p]) => 1e7 + p * t, 1e-3, undefined, (t) => t],
    [
      'no number but within a millionth: a logarithm near its edge',
      (t, [p]) => Math.log(p - 1000 + 1e-3 * t),
      1000,
      undefined,
      (t) => 1e3 / t,
    ],
    [
      'the same for its start only',
      (t, [p]) => Math.sqrt(p * t),
      1e-6,
      10,
      (t) => Math.sqrt(t / 4e-6),
    ],
  ])('%s', (_name, model, at, start, slope) => {
    for (const fine of [false, true]) {
      const { columns } = asked(model, [at], { fine, start: [start ?? at] });
      expect(error(columns[0], slope)).toBeLessThan(fine ? 1e-9 : 1e-6);
      // The length is remembered: the next time costs no more than the least.
      const { calls } = asked(model, [at], { fine, start: [start ?? at], again: 2 });
      expect(calls).toHaveLength(fine ? 4 : 2);
    }
  });

  test('at the bottom of a valley, where the slope is 0, steps stay as long as the valley asks', () => {
    const valley: Model = (t, [p]) => t + 1e4 * (p - 5) ** 2;
    for (const fine of [false, true]) {
      const { columns, calls } = asked(valley, [5], { fine, again: 2 });
      // Against the slope 2e4 × 0.01 a hundredth away from the bottom.
      for (const value of columns[0]) expect(Math.abs(value)).toBeLessThan(1e-5);
      for (const [p] of calls) expect(Math.abs(p - 5)).toBeGreaterThan(fine ? 1e-7 : 1e-9);
      expect(calls).toHaveLength(fine ? 4 : 2);
    }
  });

  test('a model that gives no number any more is given up after some tries', () => {
    let asks = 0;
    const { columns, calls } = asked((t) => (asks++ < 5 ? t : Number.NaN), [5]);
    expect([...columns[0]]).toEqual([NaN, NaN, NaN, NaN, NaN]);
    expect(calls.length).toBeLessThanOrEqual(50);
  });

  test('a model that gives a number nowhere else: no slope, after some tries', () => {
    const { columns, calls } = asked((t, [p]) => (p === 5 ? t : Number.NaN), [5]);
    expect([...columns[0]]).toEqual([0, 0, 0, 0, 0]);
    expect(calls.length).toBeLessThanOrEqual(50);
  });
});

test('the length of a vector: 1, 2, 2 and 3-4-12', () => {
  expect(norm([1, -2, 2])).toBe(3);
  expect(norm(Float64Array.of(3, 4, 12))).toBe(13);
  expect(norm([])).toBe(0);
});
