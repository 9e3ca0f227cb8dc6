import { describe, expect, test } from 'vitest';
import {
  alongBand,
  atAlong,
  countedOrders,
  placeOf,
  scaleOf,
} from '../../../kernel-lib/page/picture/picture-setting';

describe('orders are counted', () => {
  test.each([
    ['bright places that stand evenly', [1, 2, 3, 4, 5], 3, [-2, -1, 0, 1, 2]],
    ['one that is missing is passed over', [1, 2, 4, 5], 2, [-1, 0, 2, 3]],
    ['in whatever order they were clicked', [5, 1, 3, 2], 3, [2, -2, 0, -1]],
    ['with clicks that miss', [1.1, 1.95, 3.02, 4.9], 2, [-1, 0, 1, 3]],
    ['a single one', [4], 4.2, [0]],
    ['none', [], 0, []],
  ])('%s', (_, places, middle, orders) => {
    expect(countedOrders(places, middle, 'maxima')).toEqual(orders);
  });

  test.each([
    [
      'dark places of one slit: none at 0, the middle twice as wide',
      [1, 2, 4, 5],
      3,
      [-2, -1, 1, 2],
    ],
    ['one side alone', [4, 5, 7], 3, [1, 2, 4]],
    ['the first of both', [2, 4], 3, [-1, 1]],
    ['a first one that was left out', [1, 5, 6], 3, [-2, 2, 3]],
    ['in whatever order', [5, 1, 4, 2], 3, [2, -2, 1, -1]],
  ])('%s', (_, places, middle, orders) => {
    expect(countedOrders(places, middle, 'minima')).toEqual(orders);
  });

  test('one that is given by hand takes the others along', () => {
    expect(countedOrders([1, 2, 3], 1, 'maxima', [undefined, undefined, 5])).toEqual([3, 4, 5]);
    expect(countedOrders([1, 2, 3], 1, 'maxima', [7, undefined, 5])).toEqual([7, 1, 5]);
  });
});

describe('places along a band', () => {
  const band = { from: { x: 10, y: 10 }, to: { x: 40, y: 50 }, width: 6 };

  test('are those of a 3-4-5 triangle', () => {
    expect(alongBand(band, { x: 40, y: 50 })).toBeCloseTo(50, 12);
    expect(atAlong(band, 25)).toEqual({ x: 25, y: 30 });
    // Beside the line: its foot counts.
    expect(alongBand(band, { x: 25 + 4, y: 30 - 3 })).toBeCloseTo(25, 12);
    const scale = scaleOf({
      by: 'ruler',
      marks: [
        { x: 0, y: 0 },
        { x: 100, y: 0 },
      ],
      length: 0.05,
    })!;
    expect(placeOf(band, scale, { x: 40, y: 50 })).toBe(0.025);
  });

  test('a scale needs all its marks and lengths', () => {
    const marks = [
      { x: 0, y: 0 },
      { x: 100, y: 0 },
      { x: 100, y: 50 },
      { x: 0, y: 50 },
    ];
    expect(scaleOf({ by: 'pixel', length: Number.NaN })).toBeUndefined();
    expect(scaleOf({ by: 'ruler', marks: marks.slice(0, 1), length: 1 })).toBeUndefined();
    expect(scaleOf({ by: 'ruler', marks: marks.slice(0, 2), length: 0 })).toBeUndefined();
    expect(scaleOf({ by: 'paper', marks, length: 0.1, height: Number.NaN })).toBeUndefined();
    const flat = scaleOf({ by: 'paper', marks, length: 0.1, height: 0.05 })!;
    expect(flat.matrix[0]).toBeCloseTo(0.001, 9);
    expect(() => scaleOf({ by: 'ruler', marks: [marks[0], marks[0]], length: 1 })).toThrow(
      /as far from each other/,
    );
  });
});
