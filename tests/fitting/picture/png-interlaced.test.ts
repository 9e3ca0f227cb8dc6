import { describe, expect, test } from 'vitest';
import { readPng } from '../../../kernel-lib/fitting/picture/picture-png';
import { chunk, ihdr, packed, png, rowsOf } from './png-bytes';

/** Adam7, ISO/IEC 15948, 8.2: first column and row of each pass, and the steps. */
const passes = [
  [0, 0, 8, 8],
  [4, 0, 8, 8],
  [0, 4, 4, 8],
  [2, 0, 4, 4],
  [0, 2, 2, 4],
  [1, 0, 2, 2],
  [0, 1, 1, 2],
];

/** An interlaced picture: the bytes of each pixel, pass after pass, no line filtered. */
function interlaced(
  { width, height, depth, colour }: Record<'width' | 'height' | 'depth' | 'colour', number>,
  pixel: (x: number, y: number) => number[],
  ...before: number[][]
): Uint8Array {
  const lines: number[] = [];
  for (const [x0, y0, across, down] of passes) {
    if (x0 >= width) continue;
    for (let y = y0; y < height; y += down) {
      lines.push(0);
      for (let x = x0; x < width; x += across) lines.push(...pixel(x, y));
    }
  }
  const head = ihdr({ width, height, depth, colour, interlace: 1 });
  return png(head, ...before, chunk('IDAT', packed(lines)), chunk('IEND'));
}

const size = { width: 11, height: 9 };
const palette = [1, 2, 3, 40, 50, 60, 7, 8, 9];
const expected = (values: (x: number, y: number) => number[]) =>
  Array.from({ length: size.height }, (_, y) =>
    Array.from({ length: size.width }, (__, x) => values(x, y)).flat(),
  );

describe('interlaced pictures of 8 and 16 bits come out in whole rows', () => {
  test.each<[string, number, number, (x: number, y: number) => number[], number]>([
    ['grey', 0, 8, (x, y) => [20 * x + y], 1],
    ['grey and opacity', 4, 8, (x, y) => [20 * x + y, 255 - x], 1],
    ['colour', 2, 8, (x, y) => [20 * x + y, x, 100 + y], 3],
    ['colour and opacity', 6, 8, (x, y) => [20 * x + y, x, 100 + y, 255 - y], 3],
  ])('%s', (_, colour, depth, pixel, kept) => {
    const bytes = interlaced({ ...size, depth, colour }, pixel);
    expect(rowsOf(bytes)).toEqual(expected((x, y) => pixel(x, y).slice(0, kept)));
  });

  test('16 bits, high byte first', () => {
    const grey = interlaced({ ...size, depth: 16, colour: 0 }, (x, y) => [x + 1, 200 + y]);
    expect(rowsOf(grey)).toEqual(expected((x, y) => [256 * (x + 1) + 200 + y]));
    const colour = interlaced({ ...size, depth: 16, colour: 2 }, (x, y) => [x, y, 1, 2, y, x]);
    expect(rowsOf(colour)).toEqual(expected((x, y) => [256 * x + y, 258, 256 * y + x]));
  });

  test('a palette of 8 bits', () => {
    const pixel = (x: number, y: number) => [(x + 2 * y) % 3];
    const bytes = interlaced({ ...size, depth: 8, colour: 3 }, pixel, chunk('PLTE', palette));
    expect(rowsOf(bytes)).toEqual(
      expected((x, y) => palette.slice(3 * pixel(x, y)[0], 3 * pixel(x, y)[0] + 3)),
    );
  });
});

describe('what cannot be read is said', () => {
  const head = (width: number, height: number, depth: number) =>
    png(ihdr({ width, height, depth, colour: 0, interlace: 1 }), chunk('IDAT', [1]));

  test('interlaced below 8 bits, or above 24 million pixels', () => {
    expect(() => readPng(head(9, 9, 4))).toThrow(
      /interlaced \(9 × 9 pixels of 4 bits\).*without interlacing/,
    );
    expect(() => readPng(head(6000, 4001, 8))).toThrow(/interlaced \(6000 × 4001 pixels/);
    expect(readPng(head(6000, 4000, 8)).width).toBe(6000);
  });

  test('a damaged one is named so', () => {
    const bytes = head(9, 9, 8);
    expect(() => rowsOf(bytes)).toThrow(RangeError);
    expect(() => rowsOf(bytes)).toThrow(/^This PNG is damaged: .*Save or copy the file again\.$/);
  });
});
