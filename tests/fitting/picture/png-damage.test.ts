import { zlibSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { readPng } from '../../../kernel-lib/fitting/picture/picture-png';
import { chunk, ihdr, packed, png, pngOf, rowsOf } from './png-bytes';

const grey = (width: number, height: number) => ({ width, height, depth: 8, colour: 0 });
const split = (body: Uint8Array, size: number) =>
  Array.from({ length: Math.ceil(body.length / size) }, (_, k) =>
    chunk('IDAT', body.subarray(k * size, (k + 1) * size)),
  );

/** RFC 1950 and 1951 by hand: two bytes of head, blocks stored as they are, a block of a kind that does not exist, a sum. */
const zlibHead = [0x78, 0x01];
const stored = (bytes: number[]) => [0, bytes.length, 0, 255 - bytes.length, 255, ...bytes];
const noBlock = [0b110];
const sum = [0, 0, 0, 0];

describe('the packed pixels may be cut into chunks anywhere', () => {
  const lines = [
    [0, 1, 2, 3],
    [2, 10, 10, 10],
    [2, 20, 20, 20],
  ];
  const expected = [
    [1, 2, 3],
    [11, 12, 13],
    [31, 32, 33],
  ];
  test.each([1, 2, 5, 1000])('%i bytes each', (size) => {
    const chunks = split(packed(lines.flat()), size);
    expect(rowsOf(png(ihdr(grey(3, 3)), ...chunks, chunk('IEND')))).toEqual(expected);
  });

  test('an empty chunk among them changes nothing', () => {
    const [first, ...others] = split(packed(lines.flat()), 4);
    const chunks = [chunk('IDAT'), first, chunk('IDAT'), ...others, chunk('IDAT')];
    expect(rowsOf(png(ihdr(grey(3, 3)), ...chunks))).toEqual(expected);
  });

  test('a chunk of more than 64 KiB is read to its end', () => {
    const [width, height] = [410, 165];
    const value = (x: number, y: number) => (7 * x + 13 * y) % 256;
    const pixels = Array.from({ length: height }, (_, y) =>
      Array.from({ length: width }, (__, x) => value(x, y)),
    );
    const body = zlibSync(Uint8Array.from(pixels.flatMap((row) => [0, ...row])), { level: 0 });
    expect(body.length).toBeGreaterThan(65536);
    const rows = rowsOf(png(ihdr(grey(width, height)), chunk('IDAT', body)));
    expect(rows.join() === pixels.join()).toBe(true);
  });

  test('what is packed behind the last row is left alone', () => {
    expect(rowsOf(pngOf(grey(3, 3), [...lines, [9, 9, 9, 9], [9]]))).toEqual(expected);
  });

  test('a wrong byte behind the last row does no harm', () => {
    const chunks = [
      chunk('IDAT', [...zlibHead, ...stored(lines.flat())]),
      chunk('IDAT', [...noBlock, ...sum]),
    ];
    expect(rowsOf(png(ihdr(grey(3, 3)), ...chunks))).toEqual(expected);
  });
});

describe('what is damaged is named, with the row', () => {
  const sentence = (bytes: Uint8Array) => {
    try {
      rowsOf(bytes);
    } catch (error) {
      expect(error).toBeInstanceOf(RangeError);
      return (error as Error).message;
    }
    return 'nothing';
  };

  test('a filter that does not exist, said once', () => {
    const lines = [
      [0, 1],
      [5, 1],
    ];
    expect(sentence(pngOf(grey(1, 2), lines))).toBe(
      'This PNG is damaged: a row has filter 5. Save or copy the file again.',
    );
  });

  test('rows that are missing, half a row among them', () => {
    const rows = [
      [0, 1, 1],
      [0, 2, 2],
      [0, 3],
    ];
    expect(sentence(pngOf(grey(2, 4), rows))).toMatch(/it ends after row 2 of 4/);
  });

  test('packed data that stop, go wrong, or are none', () => {
    const half = [...zlibHead, ...stored([0, 1, 1])];
    const laid = (...bodies: number[][]) =>
      sentence(png(ihdr(grey(2, 2)), ...bodies.map((body) => chunk('IDAT', body))));
    expect(laid(half, [0, ...sum])).toMatch(
      /cannot be unpacked after row 1 of 2 \(unexpected EOF\)/,
    );
    expect(laid(half, [...noBlock, ...sum])).toMatch(
      /unpacked after row 1 of 2 \(invalid block type\)/,
    );
    expect(laid([1, 2, 3, 4])).toMatch(/unpacked after row 0 of 2 \(invalid zlib data\)/);
  });

  test.each([
    [1, 8],
    [5, 8],
    [7, 8],
    [2, 4],
    [3, 16],
    [4, 2],
    [6, 1],
    [0, 3],
    [0, 32],
    [0, 0],
  ])('colour type %i with %i bits', (colour, depth) => {
    const bytes = pngOf({ width: 2, height: 1, depth, colour }, [[0, 0]], chunk('PLTE', [0, 0, 0]));
    expect(sentence(bytes)).toMatch(`damaged: colour type ${colour} with ${depth} bits does not`);
  });

  test('sizes of 0 and of more than 120 million pixels', () => {
    expect(sentence(pngOf(grey(0, 5), []))).toMatch(/0 × 5 pixels: the file is damaged/);
    expect(sentence(pngOf(grey(20_000, 7000), []))).toMatch(/140 million pixels/);
  });
});

test.each([0, 1])('an error of whoever takes row %i comes out as it is', (at) => {
  const stop = new Error('enough');
  const picture = readPng(
    pngOf(grey(1, 2), [
      [0, 1],
      [0, 2],
    ]),
  );
  const take = (_: ArrayLike<number>, y: number) => {
    if (y === at) throw stop;
  };
  expect(() => picture.each(take)).toThrow(stop);
});
