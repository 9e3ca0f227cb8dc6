import { describe, expect, test } from 'vitest';
import { readJpegSegments, zigzag } from '../../../kernel-lib/fitting/picture/jpeg-segments';
import { diagonals, frame, huffman, jpeg, quantisation, scan, segment } from './jpeg-bytes';

const size = { width: 0x0102, height: 0x0304 };
const read = (...parts: number[][]) => readJpegSegments(jpeg(...parts));

test('the order of a block runs along its diagonals, to and fro', () => {
  expect(zigzag).toEqual(diagonals.map(([row, column]) => 8 * row + column));
});

describe('quantisation tables', () => {
  const values = Array.from({ length: 64 }, (_, k) => k + 1);
  const expected = new Float32Array(64);
  for (const [k, [row, column]] of diagonals.entries()) expected[8 * row + column] = k + 1;

  test('8 bits: each value at its place in the block', () => {
    expect(read(quantisation(values), frame(size), scan([1])).quantisation[0]).toEqual(expected);
  });

  test('16 bits, high byte first', () => {
    const pairs = values.flatMap((value) => [value, 255 - value]);
    const { quantisation: tables } = read(segment(0xdb, [0x11, ...pairs]), frame(size), scan([1]));
    expect(tables[1]).toEqual(expected.map((value) => 256 * value + 255 - value));
  });

  test('several in one segment, 16 and 8 bits, each under its number', () => {
    const pairs = values.flatMap((value) => [1, value]);
    const both = segment(0xdb, [0x12, ...pairs, 3, ...values, 0, ...Array(64).fill(7)]);
    const { quantisation: tables } = read(both, frame(size), scan([1]));
    expect(tables[2]).toEqual(expected.map((value) => 256 + value));
    expect(tables[3]).toEqual(expected);
    expect(tables[0]).toEqual(new Float32Array(64).fill(7));
    expect(tables[1]).toBeUndefined();
  });
});

describe('Huffman tables', () => {
  // T.81, table K.3 (luminance DC, from memory): the code of each category.
  const codes = ['00', '010', '011', '100', '101', '110', '1110', '11110', '111110'];
  const counts = [0, 1, 5, 1, 1, 1];
  const symbols = [0, 1, 2, 3, 4, 5, 6, 7, 8];
  const found = (table: Uint16Array, bits: string) => {
    const entry = table[Number.parseInt(bits, 2)];
    return [entry >> 8, entry & 255];
  };

  test('every word of 16 bits that begins with a code stands for its symbol', () => {
    const [table] = read(huffman(0, 0, counts, symbols), frame(size), scan([1])).huffman[0];
    for (const [symbol, code] of codes.entries())
      for (const rest of ['0', '1'])
        expect(found(table, code.padEnd(16, rest))).toEqual([code.length, symbol]);
    expect(found(table, '111111'.padEnd(16, '0'))).toEqual([0, 0]);
    expect(found(table, '1'.repeat(16))).toEqual([0, 0]);
  });

  test('codes of 1 and of 16 bits', () => {
    const long = huffman(1, 2, [1, ...Array(14).fill(0), 2], [9, 0xa1, 0xb2]);
    const table = read(long, frame(size), scan([1])).huffman[1][2];
    expect(found(table, '0111111111111111')).toEqual([1, 9]);
    expect(found(table, '1000000000000000')).toEqual([16, 0xa1]);
    expect(found(table, '1000000000000001')).toEqual([16, 0xb2]);
    expect(found(table, '1000000000000010')).toEqual([0, 0]);
  });

  test('several in one segment, by class and number; a class that does not exist is left aside', () => {
    const parts = [
      huffman(0, 1, [1], [4]),
      huffman(1, 3, [0, 2], [5, 6]),
      huffman(1, 0, [1], [7]),
    ].map((part) => part.slice(4));
    parts[2][0] = 0x70;
    const both = segment(0xc4, [...parts.flat(), ...huffman(0, 2, [1], [8]).slice(4)]);
    const { huffman: tables } = read(both, frame(size), scan([1]));
    expect(found(tables[0][1], '0'.repeat(16))).toEqual([1, 4]);
    expect(found(tables[1][3], '01'.padEnd(16, '0'))).toEqual([2, 6]);
    expect(found(tables[0][2], '0'.repeat(16))).toEqual([1, 8]);
    expect(tables.map((list) => list.filter(Boolean).length)).toEqual([2, 1]);
  });

  test('a table of no codes ends where its counts do', () => {
    const { huffman: tables } = read(huffman(1, 1, [], []), frame(size), scan([1]));
    expect(tables[1][1].some((entry) => entry !== 0)).toBe(false);
  });
});
