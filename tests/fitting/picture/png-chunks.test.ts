import { describe, expect, test } from 'vitest';
import { readPngChunks } from '../../../kernel-lib/fitting/picture/png-chunks';
import { chunk, ihdr, png } from './png-bytes';

const size = ihdr({ width: 0x01020304, height: 0x00000506, depth: 16, colour: 2 });
const grey = ihdr({ width: 3, height: 2, depth: 8, colour: 0 });
const indexed = ihdr({ width: 3, height: 2, depth: 2, colour: 3 });
const data = (...bytes: number[]) => chunk('IDAT', bytes);
const end = chunk('IEND');

describe('what a PNG says of itself', () => {
  test('size in four bytes each, depth and colour type', () => {
    const header = readPngChunks(png(size, data(1), end));
    expect(header).toMatchObject({ width: 16909060, height: 1286, depth: 16, colour: 2 });
  });

  test('interlaced only where the method is 1', () => {
    const setting = { width: 3, height: 2, depth: 8, colour: 0 };
    const laced = ihdr({ ...setting, interlace: 1 });
    expect(readPngChunks(png(laced, data(1))).interlaced).toBe(true);
    expect(readPngChunks(png(grey, data(1))).interlaced).toBe(false);
  });

  test('palette and EXIF are handed over as they are; without them there are none', () => {
    const parts = [chunk('PLTE', [10, 20, 30]), chunk('eXIf', [77, 77, 0, 42]), data(9)];
    const full = readPngChunks(png(indexed, ...parts, end));
    expect([...full.palette!]).toEqual([10, 20, 30]);
    expect([...full.exif!]).toEqual([77, 77, 0, 42]);
    const bare = readPngChunks(png(grey, data(9), end));
    expect([bare.palette, bare.exif]).toEqual([undefined, undefined]);
  });

  test('a file that lies within a larger one is read from its own first byte', () => {
    const inside = png(grey, data(5), end);
    const file = new Uint8Array(inside.length + 50).fill(7);
    file.set(inside, 13);
    expect(readPngChunks(file.subarray(13, 13 + inside.length)).height).toBe(2);
  });
});

describe('where the pixels are', () => {
  const pieces = (bytes: Uint8Array) => readPngChunks(bytes).data.map((body) => [...body]);

  test('every IDAT in order, other chunks between them left out', () => {
    const bytes = png(grey, data(1, 2), chunk('tEXt', [65]), data(3), data(4, 5, 6), end);
    expect(pieces(bytes)).toEqual([[1, 2], [3], [4, 5, 6]]);
  });

  test('nothing behind IEND belongs to the picture', () => {
    const bytes = png(grey, data(1), end, data(2), chunk('eXIf', [1]));
    expect(pieces(bytes)).toEqual([[1]]);
    expect(readPngChunks(bytes).exif).toBeUndefined();
  });

  test('of a file cut within its pixels, what is there', () => {
    const whole = png(grey, data(1, 2, 3, 4, 5, 6, 7, 8));
    // Four bytes of the sum and two of the pixels are missing.
    expect(pieces(whole.subarray(0, whole.length - 6))).toEqual([[1, 2, 3, 4, 5, 6]]);
  });

  test('a few bytes left over at the end are no chunk', () => {
    for (const over of [1, 4, 11]) {
      const bytes = png(grey, data(8), Array(over).fill(0));
      expect(pieces(bytes)).toEqual([[8]]);
    }
  });

  test('a chunk without a body may be the last', () => {
    expect(pieces(png(grey, data(8), data()))).toEqual([[8], []]);
  });
});

describe('what is missing is named', () => {
  test.each([
    ['everything', png(), /^This PNG is damaged: it has no picture in it\. Save or copy/],
    ['its size', png(data(1), end), /no picture in it/],
    ['its pixels', png(grey, end), /no picture in it/],
    ['its palette', png(indexed, data(1), end), /its palette is missing/],
  ])('%s', (_, bytes, sentence) => {
    expect(() => readPngChunks(bytes)).toThrow(RangeError);
    expect(() => readPngChunks(bytes)).toThrow(sentence);
  });

  test('a header too short to hold a size and a kind is none', () => {
    const short = chunk('IHDR', [0, 0, 0, 3, 0, 0, 0, 2, 8, 0, 0, 0]);
    expect(() => readPngChunks(png(short, data(1), end))).toThrow(/no picture in it/);
  });

  test('cut anywhere before its pixels, it is said to be damaged', () => {
    const whole = png(grey, data(1));
    for (let length = 8; length < 8 + grey.length; length++)
      expect(() => readPngChunks(whole.subarray(0, length))).toThrow(/damaged/);
  });
});
