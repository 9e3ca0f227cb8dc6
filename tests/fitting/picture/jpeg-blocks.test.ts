import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { JpegBlocks } from '../../../kernel-lib/fitting/picture/jpeg-blocks';
import { readJpegSegments } from '../../../kernel-lib/fitting/picture/jpeg-segments';
import {
  block,
  coded,
  diagonals,
  flat,
  frame,
  huffman,
  jpeg,
  plainTables,
  quantisation,
  scan,
} from './jpeg-bytes';

const size = { width: 8, height: 8 };
function blocksOf(pixels: readonly number[], table = flat(1), tables = plainTables): JpegBlocks {
  const bytes = jpeg(table, frame(size), tables, scan([1]), pixels);
  return new JpegBlocks(bytes, readJpegSegments(bytes));
}
const next = (blocks: JpegBlocks) => Array.from(blocks.next(0, 0, 0));

/** Coefficients by row and column from the order of the file. */
function inRows(stored: readonly number[]): number[] {
  const out = Array(64).fill(0);
  for (const [k, value] of stored.entries()) out[8 * diagonals[k][0] + diagonals[k][1]] = value;
  return out;
}

describe('coded numbers', () => {
  test('each is multiplied by its own entry of the quantisation table', () => {
    const steps = Array.from({ length: 64 }, (_, k) => k + 1);
    const pixels = coded(block(3, Array(63).fill(-2)));
    const expected = inRows(steps.map((step, k) => (k === 0 ? 3 : -2) * step));
    expect(next(blocksOf(pixels, quantisation(steps)))).toEqual(expected);
  });

  test('the first number of a block is told as the difference from the block before', () => {
    const blocks = blocksOf(coded(block(5), block(-7), block(0), block(100)));
    expect([1, 2, 3, 4].map(() => blocks.next(0, 0, 0)[0])).toEqual([5, -2, -2, 98]);
  });

  test('nothing of a block is left in the next', () => {
    const blocks = blocksOf(coded(block(1, [4, 5, 6]), block(0, [0, 7])));
    expect(next(blocks)).toEqual(inRows([1, 4, 5, 6]));
    expect(next(blocks)).toEqual(inRows([1, 0, 7]));
  });

  test('zeros: 15 before a number, 16 and more with a code of their own, 62 before the last', () => {
    for (const zeros of [0, 1, 15, 16, 17, 31, 32, 61, 62]) {
      const stored = [...Array(zeros).fill(0), -1];
      const blocks = blocksOf(coded(block(2, stored), block(1)));
      expect(next(blocks)).toEqual(inRows([2, ...stored]));
      expect(next(blocks)).toEqual(inRows([3]));
    }
  });

  test('whatever is written comes back, with bytes 0xff among it', () => {
    const number = fc.oneof(
      { weight: 2, arbitrary: fc.constant(0) },
      fc.integer({ min: -1023, max: 1023 }),
    );
    const drawn = fc.record({
      first: fc.integer({ min: -2047, max: 2047 }),
      others: fc.array(number, { maxLength: 63 }),
    });
    fc.assert(
      fc.property(fc.array(drawn, { minLength: 1, maxLength: 4 }), (list) => {
        const blocks = blocksOf(coded(...list.map(({ first, others }) => block(first, others))));
        let sum = 0;
        for (const { first, others } of list) {
          sum += first;
          expect(next(blocks)).toEqual(inRows([sum, ...others]));
        }
      }),
      { numRuns: 40 },
    );
  });

  test('codes of 16 bits and numbers of 15', () => {
    const counts = [1, ...Array(14).fill(0), 1];
    const tables = [...huffman(0, 0, counts, [0, 15]), ...huffman(1, 0, counts, [0, 15])];
    const long = '1000000000000000';
    const pixels = coded(`${long}${'1'.repeat(15)}${long}${'0'.repeat(15)}0`, '00');
    const blocks = blocksOf(pixels, flat(1), tables);
    expect(next(blocks)).toEqual(inRows([32767, -32767]));
    expect(next(blocks)).toEqual(inRows([32767]));
  });

  test('components keep their own predictions and tables', () => {
    const three = [
      { id: 1, table: 0 },
      { id: 2, table: 1 },
    ];
    const other = [...huffman(0, 2, [1], [2]), ...huffman(1, 3, [1], [0])];
    const steps = [...flat(1), ...quantisation(Array(64).fill(10), 1)];
    // In the other tables code 0 is: a first number of two bits, and the end of the block.
    const pixels = coded(block(9), '0110', block(1), '0000');
    const head = [...frame({ ...size, components: three }), ...plainTables, ...other];
    const bytes = jpeg(steps, head, scan([1], [2, 2, 3]), pixels);
    const blocks = new JpegBlocks(bytes, readJpegSegments(bytes));
    expect(blocks.next(0, 0, 0)[0]).toBe(9);
    expect(blocks.next(1, 2, 3)[0]).toBe(30);
    expect(blocks.next(0, 0, 0)[0]).toBe(10);
    expect(blocks.next(1, 2, 3)[0]).toBe(0);
  });
});

describe('restart markers', () => {
  test.each([0xd0, 0xd3, 0xd7])(
    'behind marker %i the first number begins at zero again',
    (marker) => {
      const blocks = blocksOf([...coded(block(40)), 0xff, marker, ...coded(block(3), block(1))]);
      expect(blocks.next(0, 0, 0)[0]).toBe(40);
      blocks.restart();
      expect(blocks.next(0, 0, 0)[0]).toBe(3);
      expect(blocks.next(0, 0, 0)[0]).toBe(4);
    },
  );

  test('bytes before it are skipped, 0xff 0x00 and other markers among them', () => {
    const waste = [0xff, 0x00, 0xd1, 7, 0xff, 0xcf, 0xff, 0xd8, 0xd2];
    const blocks = blocksOf([...coded(block(4)), ...waste, 0xff, 0xd5, ...coded(block(-6))]);
    blocks.next(0, 0, 0);
    blocks.restart();
    expect(blocks.next(0, 0, 0)[0]).toBe(-6);
  });

  test('the last bytes of a file may be one', () => {
    const whole = jpeg(flat(1), frame(size), plainTables, scan([1]), coded(block(1)), [0xff, 0xd2]);
    const bytes = whole.subarray(0, whole.length - 2);
    const blocks = new JpegBlocks(bytes, readJpegSegments(bytes));
    expect(() => blocks.restart()).not.toThrow();
    expect(() => blocks.restart()).toThrow(/it ends before its last row/);
  });

  test('bits behind the end count anew after each', () => {
    const pixels = Array.from({ length: 30 }, () => [...coded(block(2)), 0xff, 0xd0]).flat();
    const blocks = blocksOf(pixels);
    for (let k = 0; k < 30; k++) {
      expect(blocks.next(0, 0, 0)[0]).toBe(2);
      blocks.restart();
    }
  });
});

describe('what is damaged is named', () => {
  const first = (pixels: number[], tables = plainTables) =>
    blocksOf(pixels, flat(1), tables).next(0, 0, 0);

  test('a block of more than 64 numbers', () => {
    const stored = [...Array(62).fill(0), 5];
    expect(() => first(coded(block(0, stored)))).not.toThrow();
    const long = `${block(0, [...Array(48).fill(0), 1]).slice(0, -8)}${'11110001'}1`;
    expect(() => first(coded(long))).toThrow(/a block is longer than 64 numbers/);
  });

  test('a code that does not exist', () => {
    // Twelve codes of four bits: 1100 and above stand for nothing.
    expect(() => first(coded('1100'))).toThrow(RangeError);
    expect(() => first(coded('1100'))).toThrow(/a code does not exist/);
  });

  test('a table that is missing', () => {
    const dc = huffman(0, 0, [1], [0]);
    expect(() => first([0], dc)).toThrow(/a table is missing/);
    expect(() => blocksOf([0]).next(0, 1, 0)).toThrow(/a table is missing/);
    expect(() => blocksOf([0], quantisation(Array(64).fill(1), 1)).next(0, 0, 0)).toThrow(
      /a table is missing/,
    );
  });

  test.each([
    ['a marker', [0xff, 0xd9]],
    ['nothing', []],
  ])('bits that end, with %s behind them', (_, rest) => {
    const whole = jpeg(flat(1), frame(size), plainTables, scan([1]), coded(block(1, [3])));
    const bytes = Uint8Array.from([...whole.subarray(0, whole.length - 2), ...rest]);
    const blocks = new JpegBlocks(bytes, readJpegSegments(bytes));
    expect(next(blocks)).toEqual(inRows([1, 3]));
    const all = () => {
      for (let k = 0; k < 100; k++) blocks.next(0, 0, 0);
    };
    expect(all).toThrow(RangeError);
    expect(all).toThrow(/it ends before its last row/);
  });
});
