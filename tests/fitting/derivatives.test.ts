import { describe, expect, test } from 'vitest';
import { type Bound, Derivatives } from '../../kernel-lib/fitting/derivatives';

/** What a model says at one of `times`. */
type Model = (t: number, p: readonly number[]) => number;
const times = [0.2, 0.5, 1, 1.7, 2.2];

/** Derivatives of a model over `times`, asked for `again` times, and where it was called for the last ones. */
function asked(
  model: Model,
  at: readonly number[],
  {
    fine = false,
    start = at,
    bounds = [],
    again = 1,
  }: {
    fine?: boolean;
    start?: readonly number[];
    bounds?: readonly (Bound | undefined)[];
    again?: number;
  } = {},
) {
  const calls: number[][] = [];
  const weighted = (p: number[], out: Float64Array) => {
    calls.push([...p]);
    for (const [i, t] of times.entries()) out[i] = model(t, p);
  };
  const here = Float64Array.from(times, (t) => model(t, at));
  const derivatives = new Derivatives(weighted, times.length, start, bounds);
  let columns: Float64Array[] = [];
  for (let k = 0; k < again; k++) {
    calls.length = 0;
    columns = derivatives.columns(at, here, fine);
  }
  return { columns, calls };
}

/** Largest error of a column relative to its largest entry. */
function error(column: ArrayLike<number>, slope: (t: number) => number) {
  const exact = times.map(slope);
  const largest = Math.max(...exact.map(Math.abs));
  return Math.max(...exact.map((value, i) => Math.abs(column[i] - value))) / largest;
}

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

describe('near a bound', () => {
  // Slopes of a parameter at 2 that moves by its own size; a coarse step is 1.2e-5, a fine one 2.4e-3.
  const wave: Model = (t, [p]) => Math.sin((p * t) / 6);
  const slope = (t: number) => (t / 6) * Math.cos(t / 3);

  test.each<[string, Bound, boolean]>([
    ['on the lower one', [2, Infinity], false],
    ['on the upper one', [-Infinity, 2], false],
    ['on the lower of two', [2, 3], false],
    ['on the upper of two', [-3, 2], false],
    ['just above the lower one', [2 - 1e-5, Infinity], false],
    ['just below the upper one', [-Infinity, 2 + 1e-5], false],
    ['on the lower one, precisely', [2, Infinity], true],
    ['on the upper one, precisely', [-Infinity, 2], true],
    ['a step and a half above the lower one, precisely', [2 - 3.6e-3, Infinity], true],
    ['a step and a half below the upper one, precisely', [-Infinity, 2 + 3.6e-3], true],
  ])('%s: calls on the inner side only, and still the slope', (_name, bound, fine) => {
    const { columns, calls } = asked(wave, [2], { fine, bounds: [bound] });
    const inner = 2 - bound[0] < bound[1] - 2 ? 1 : -1;
    for (const [p] of calls) expect(Math.sign(p - 2)).toBe(inner);
    expect(calls).toHaveLength(fine ? 4 : 2);
    expect(error(columns[0], slope)).toBeLessThan(fine ? 1e-11 : 1e-8);
  });

  test('a bound more than two steps away changes nothing', () => {
    for (const fine of [false, true]) {
      const reach = fine ? 4.9e-3 : 1.3e-5;
      const free = asked(wave, [2], { fine });
      for (const bound of [[2 - reach, Infinity] as const, [-Infinity, 2 + reach] as const])
        expect(asked(wave, [2], { fine, bounds: [bound] })).toEqual(free);
    }
  });

  test.each<[number, Bound]>([
    [2, [2, 2 + 1e-6]],
    [2, [2 - 1e-6, 2]],
    [2, [2 - 2e-7, 2 + 8e-7]],
    [2, [2 - 8e-7, 2 + 2e-7]],
  ])('bounds closer together than a step: %d in %j is not left', (p, bound) => {
    for (const fine of [false, true]) {
      const { columns, calls } = asked(wave, [p], { fine, bounds: [bound] });
      for (const [value] of calls) {
        expect(value).toBeGreaterThanOrEqual(bound[0]);
        expect(value).toBeLessThanOrEqual(bound[1]);
      }
      expect(error(columns[0], slope)).toBeLessThan(1e-7);
    }
  });

  test('a straight model costs no more on a bound, and a steep one is still resolved', () => {
    const line = asked((t, [p]) => 1 + p * t, [2], { bounds: [[2, 9]] });
    expect(line.calls).toHaveLength(2);
    // It falls off within 1e-4, where the start promised 1.
    const steep = asked((t, [p]) => Math.exp(-p * 1e4 * t), [0], {
      start: [1],
      bounds: [[0, Infinity]],
    });
    expect(error(steep.columns[0], (t) => -1e4 * t)).toBeLessThan(1e-6);
  });
});
