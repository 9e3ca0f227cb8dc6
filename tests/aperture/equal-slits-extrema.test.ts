import { describe, expect, test } from 'vitest';
import { regularMaxima, regularMinima, zeros } from '../../kernel-lib/aperture/regular-extrema';
import type { Run } from '../../kernel-lib/aperture/runs';

const run = (count: number, width: number, spacing = 0): Run => {
  return { count, width, spacing, middle: 0, re: 1, im: 0 };
};
const inside = <T extends { u: number }>(list: readonly T[], from: number, to: number) =>
  list.filter(({ u }) => u >= from && u <= to);
const near = (list: readonly number[], digits: number) =>
  list.map((value) => expect.closeTo(value, digits));

describe('zeros', () => {
  test('of one slit: whole multiples of 1/a but 0, both ends included', () => {
    expect(zeros(run(1, 4), -0.5, 0.75)).toEqual([-0.5, -0.25, 0.25, 0.5, 0.75]);
    expect(zeros(run(1, 4), -0.49, 0.74)).toEqual([-0.25, 0.25, 0.5]);
    expect(zeros(run(1, 4), 0.05, 0.2)).toEqual([]);
  });

  test('of two narrow slits: odd multiples of 1/2d, both ends included', () => {
    expect(zeros(run(2, 1e-9, 2), -0.75, 0.25)).toEqual([-0.75, -0.25, 0.25]);
  });

  test.each([2, 3, 4, 7])('of %d narrow slits: N − 1 between neighbouring orders', (count) => {
    const list = zeros(run(count, 1e-9, 2), -1, 1);
    expect(list).toHaveLength(4 * (count - 1));
    for (const u of list) {
      expect(Math.abs(Math.sin(2 * count * Math.PI * u))).toBeLessThan(1e-12);
      expect(Math.abs(Math.sin(2 * Math.PI * u))).toBeGreaterThan(0.1);
    }
  });

  test('of both kinds in ascending order; d = 3a/2: those of two slits that coincide count once', () => {
    // k/6 with k odd, and m/2: 1/2 and 3/2 are both.
    expect(zeros(run(2, 2, 3), -0.6, 1.6).map((u) => u * 6)).toEqual(
      near([-3, -1, 1, 3, 5, 6, 7, 9], 12),
    );
  });

  test('coincide whatever the unit and the rounding, but stay apart when a billionth lies between', () => {
    for (const a of [0.1, 0.3, 0.7, 1.1e-6, 2.3e-6, 4.7e-5]) {
      // d = 3a/2 as above: up to 3/a there are 1/a, 2/a, 3/a and the odd multiples of 1/3a but those.
      expect(zeros(run(2, a, 1.5 * a), 0.1 / a, 3.1 / a)).toHaveLength(3 + 5 - 2);
      const apart = zeros(run(2, a, 1.5 * a * (1 + 1e-9)), 0.1 / a, 3.1 / a);
      expect(apart).toHaveLength(3 + 5);
    }
  });

  test('more than three million are refused', () => {
    expect(() => zeros(run(1, 10), 0, 3.1e5)).toThrow(/^About 3\.1e\+6/);
    expect(() => zeros(run(1, 10), -3.1e5, 0)).toThrow(/narrow it/);
    expect(() => zeros(run(10, 1, 2), 0, 1.5e5)).toThrow(/^About 3\.1|^About 3\.2/);
    expect(zeros(run(10, 1, 2), 1e7, 1e7 + 0.11)).toHaveLength(3);
  });
});

describe('minima', () => {
  test('are the zeros, and dark', () => {
    const dark = regularMinima(run(3, 1, 4), 0.01, 0.99);
    // k/12 but for whole k/3: 3, 6 and 9 are the orders.
    expect(dark.map(({ u }) => u * 12)).toEqual(near([1, 2, 4, 5, 7, 8, 10, 11], 12));
    for (const { intensity } of dark) expect(intensity).toBe(0);
  });

  test('at an end of the range belong to it, also when they miss it by rounding; others do not', () => {
    const [one, end] = [run(1, 1), 3 * (1 - 2e-16)];
    expect(end).toBeLessThan(3);
    expect(regularMinima(one, 0, end).map(({ u }) => u)).toEqual([1, 2, 3]);
    expect(regularMinima(one, -end, 0).map(({ u }) => u)).toEqual([-3, -2, -1]);
    const start = 2 * (1 + 3e-16);
    expect(start).toBeGreaterThan(2);
    expect(regularMinima(one, start, 2.5).map(({ u }) => u)).toEqual([2]);
    expect(regularMinima(one, -2.5, -start).map(({ u }) => u)).toEqual([-2]);
    expect(regularMinima(one, 0, 3 * (1 - 1e-12)).map(({ u }) => u)).toEqual([1, 2]);
    expect(regularMinima(one, 2 * (1 + 1e-12), 2.5)).toEqual([]);
  });
});

describe('maxima of one slit', () => {
  test('stand at tan β = β, where 1/(1 + β²) is left', () => {
    // Zeros of tan β − β (common knowledge, from memory), β = πau.
    const betas = [4.493409457909064, 7.725251836937707, 10.904121659428899, 14.066193912831473];
    const width = 2e-5;
    const end = betas[3] / (Math.PI * width) + 1;
    const found = inside(regularMaxima(run(1, width), -end, end), -end, end);
    const expected = [...betas.map((b) => -b).reverse(), 0, ...betas];
    expect(found.map(({ u }) => Math.PI * width * u)).toEqual(near(expected, 12));
    for (const [i, { intensity }] of found.entries())
      expect(intensity).toBeCloseTo(1 / (1 + expected[i] ** 2), 14);
  });

  test('only that straight ahead is an order: 0, at 0 exactly', () => {
    const found = regularMaxima(run(1, 2e-5), -2e5, 2e5);
    expect(found.filter((at) => 'order' in at)).toEqual([{ u: 0, intensity: 1, order: 0 }]);
  });
});

describe('maxima of N narrow slits', () => {
  // With α = πdu the array is (sin Nα / N sin α)²; its slope is 0 where tan Nα = N tan α.
  const third = Math.acos(-2 / 3) / 2;
  const quarter = Math.acos(-1 / 4) / 2;
  test.each([
    [2, [], []],
    // (1 + 2 cos 2α)/3.
    [3, [Math.PI / 2], [1 / 9]],
    // cos α cos 2α: cos 2α = −2/3.
    [4, [third, Math.PI - third], [2 / 27, 2 / 27]],
    // (1 + 2 cos 2α + 2 cos 4α)/5: cos 2α = −1/4, or −1.
    [5, [quarter, Math.PI / 2, Math.PI - quarter], [1 / 16, 1 / 25, 1 / 16]],
  ])('N = %d: N − 2 between the orders, in closed form', (count, alphas, heights) => {
    const spacing = 3e-6;
    const all = regularMaxima(run(count, 1e-12, spacing), -0.1 / spacing, 2.1 / spacing);
    const found = inside(all, -0.1 / spacing, 2.1 / spacing);
    const turn = [0, ...alphas];
    const expected = [...turn, ...turn.map((a) => a + Math.PI), 2 * Math.PI];
    expect(found.map(({ u }) => Math.PI * spacing * u)).toEqual(near(expected, 9));
    const bright = [1, ...heights];
    expect(found.map(({ intensity }) => intensity)).toEqual(near([...bright, ...bright, 1], 9));
    const none = alphas.map(() => undefined);
    expect(found.map(({ order }) => order)).toEqual([0, ...none, 1, ...none, 2]);
  });

  test('N = 50: each has 1/(1 + (N² − 1) sin²α)', () => {
    const found = inside(regularMaxima(run(50, 1e-9, 1), 0.01, 0.99), 0.011, 0.989);
    expect(found).toHaveLength(48);
    for (const { u, intensity } of found)
      expect(intensity * (1 + 2499 * Math.sin(Math.PI * u) ** 2)).toBeCloseTo(1, 9);
  });
});

describe('the envelope draws maxima', () => {
  /** cot x − 1/x by Lambert's fraction of the tangent: −x/(3 − x²/(5 − x²/(7 − …))). */
  function drawing(x: number): number {
    let below = 61;
    for (let odd = 59; odd >= 3; odd -= 2) below = odd - (x * x) / below;
    return -x / below;
  }

  // Two slits: sinc(πau) cos(πdu) is highest where d tan πr = a (cot πau − 1/πau), r = du − m.
  test.each([0.005, 0.05, 0.06, 0.1, 0.2, 0.28, 0.31, 0.4, 0.8])(
    'of two slits with a/d = %d to where the slopes of both factors cancel',
    (ratio) => {
      const orders = regularMaxima(run(2, ratio, 1), 0.9, 3.1).filter(
        ({ order }) => order !== undefined && order > 0 && order * ratio < 0.95,
      );
      expect(orders.length).toBeGreaterThan(0);
      for (const { u, order = 0 } of orders) {
        let r = 0;
        for (let i = 0; i < 200; i++)
          r = Math.atan(ratio * drawing(Math.PI * ratio * (order + r))) / Math.PI;
        expect(r).toBeLessThan(0);
        expect(Math.abs(u - order - r)).toBeLessThan(1e-15 * (order + 1));
      }
    },
  );

  test('of many slits: N cot Nα − cot α cancels the slope of the envelope too', () => {
    const [count, width] = [6, 0.35];
    for (const { u } of inside(regularMaxima(run(count, width, 1), 0.1, 2.6), 0.1, 2.6)) {
      const alpha = Math.PI * u;
      const array = count / Math.tan(count * alpha) - 1 / Math.tan(alpha);
      expect(array + width * drawing(width * alpha)).toBeCloseTo(0, 9);
    }
  });
});

describe('orders', () => {
  test.each([2, 3, 5])('d = %d a: those in the dark of the envelope are missing', (ratio) => {
    for (const width of [1, 0.1, 1 / 3, 0.7, 1.1e-6, 2.3e-6, 4.7e-5])
      for (const count of [2, 3, 8]) {
        const end = (2 * ratio + 0.5) / (ratio * width);
        const orders = regularMaxima(run(count, width, ratio * width), -end, end)
          .map(({ order }) => order)
          .filter((m) => m !== undefined && Math.abs(m) <= 2 * ratio);
        const all = Array.from({ length: 4 * ratio + 1 }, (_, i) => i - 2 * ratio);
        expect(orders).toEqual(all.filter((m) => m === 0 || m % ratio !== 0));
      }
  });

  test('beside a zero of the envelope a ten-millionth away an order is still there, and faint', () => {
    const found = regularMaxima(run(2, 1 / (3 + 3e-7), 1), 2.9, 3.1);
    const third = found.find(({ order }) => order === 3)!;
    expect(Math.abs(third.u - 3)).toBeLessThan(0.3);
    expect(third.intensity).toBeLessThan(0.05);
  });
});

test('two zeros so close that rounding hides what lies between: dark, and between them', () => {
  for (const apart of [1e-11, 3e-12]) {
    const pair = run(2, 2, 3 * (1 + apart));
    const [low, high] = inside(regularMinima(pair, 0.49, 0.51), 0.49, 0.51);
    const [between] = inside(regularMaxima(pair, 0.49, 0.51), low.u, high.u);
    expect(between.intensity).toBeLessThan(1e-20);
    expect(between.order).toBeUndefined();
  }
});
