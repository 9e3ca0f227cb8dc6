import { describe, expect, test } from 'vitest';
import { readJpeg } from '../../../kernel-lib/fitting/picture/picture-jpeg';
import {
  block,
  coded,
  flat,
  frame,
  greyJpeg,
  inverseByDefinition,
  jpeg,
  plainTables,
  rowsOf,
  sampled,
  scan,
  segment,
  step,
} from './jpeg-bytes';

describe('grey', () => {
  test('blocks from left to right and from the top; what hangs over the edge is cut off', () => {
    const levels = [
      [10, 20, 30],
      [40, 50, 60],
    ];
    const list = levels.flat().map((level) => level - 128);
    const bits = list.map((value, k) => block(value - (list[k - 1] ?? 0)));
    const rows = rowsOf(greyJpeg({ width: 19, height: 11 }, step, ...bits));
    expect(rows).toHaveLength(11);
    for (const [y, row] of rows.entries())
      expect(row).toEqual(Array.from({ length: 19 }, (_, x) => levels[y >> 3][x >> 3]));
  });

  test('a wave across a block is the one that its coefficients define', () => {
    const [first, second] = [-12, 25];
    const rows = rowsOf(greyJpeg({ width: 8, height: 8 }, step, block(first, [second])));
    const coefficients = [step * first, step * second, ...Array(62).fill(0)];
    for (const [y, row] of rows.entries())
      for (const [x, level] of row.entries())
        expect(Math.abs(level - inverseByDefinition(coefficients, x, y))).toBeLessThan(0.501);
  });

  test('the sampling of a single component means nothing', () => {
    const one = frame({ width: 16, height: 8, components: sampled([2, 2]) });
    const pixels = coded(block(-28), block(10));
    const rows = rowsOf(jpeg(flat(step), one, plainTables, scan([1]), pixels));
    expect(rows).toEqual(Array(8).fill([...Array(8).fill(100), ...Array(8).fill(110)]));
  });

  test('what it says before its rows', () => {
    const picture = readJpeg(greyJpeg({ width: 300, height: 2 }, step));
    const said = { kind: 'JPEG', width: 300, height: 2, channels: 1, full: 255, orientation: 1 };
    expect(picture).toMatchObject(said);
  });

  test('extended sequential coding is read as the plain one', () => {
    const parts = [flat(step), frame({ width: 1, height: 1 }, 1), plainTables, scan([1])];
    expect(rowsOf(jpeg(...parts, coded(block(9))))).toEqual([[137]]);
  });
});

describe('restart intervals', () => {
  // Levels 129, 131, 134, 138, 143 behind each other; each interval begins at 128 again.
  const pieces = (interval: number) => {
    const out: number[] = [];
    for (let k = 0; k < 5; k += interval) {
      const bits = Array.from({ length: Math.min(interval, 5 - k) }, (_, i) => block(k + i + 1));
      out.push(...(k > 0 ? [0xff, 0xd0 + ((k / interval - 1) % 8)] : []), ...coded(...bits));
    }
    return out;
  };
  const read = (interval: number, pixels: number[]) => {
    const size = frame({ width: 40, height: 1 });
    const said = segment(0xdd, [0, interval]);
    const [row] = rowsOf(jpeg(flat(step), size, plainTables, said, scan([1]), pixels));
    return row.filter((_, x) => x % 8 === 0);
  };

  test.each([
    [1, [129, 130, 131, 132, 133]],
    [2, [129, 131, 131, 135, 133]],
    [3, [129, 131, 134, 132, 137]],
    [5, [129, 131, 134, 138, 143]],
    [9, [129, 131, 134, 138, 143]],
  ])('of %i blocks', (interval, levels) => {
    expect(read(interval, pieces(interval))).toEqual(levels);
  });

  test('a marker that is missing is damage', () => {
    expect(() => read(2, pieces(3).slice(0, 4))).toThrow(/it ends before its last row/);
  });
});

describe('rare kinds and sizes are refused in a sentence', () => {
  const of = (count: number, bits: number, kind: number, width = 8) => {
    const components = Array.from({ length: count }, (_, k) => ({ id: k + 1 }));
    const names = components.map(({ id }) => [id] as const);
    return () =>
      readJpeg(jpeg(frame({ width, height: 8, components, bits }, kind), scan(...names)));
  };
  test.each([
    [4, 8, 0],
    [2, 8, 0],
    [1, 12, 1],
    [3, 8, 3],
    [1, 8, 9],
  ])('%i components of %i bits in coding %i', (count, bits, kind) => {
    expect(of(count, bits, kind)).toThrow(RangeError);
    expect(of(count, bits, kind)).toThrow(
      `This JPEG has ${count} components of ${bits} bits in coding ${kind}: only grey and colour`,
    );
  });

  test('no pixels, and too many', () => {
    expect(of(1, 8, 0, 0)).toThrow(/0 × 8 pixels: the file is damaged/);
    const large = frame({ width: 60_000, height: 2001 });
    expect(() => readJpeg(jpeg(large, scan([1])))).toThrow(/at most 120 million/);
  });
});
