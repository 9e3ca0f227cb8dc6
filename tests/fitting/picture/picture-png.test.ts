import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readPng } from '../../../kernel-lib/fitting/picture/picture-png';
import { chunk, pngOf, rowsOf } from './png-bytes';

const grey = (width: number, height: number, depth = 8) => ({ width, height, depth, colour: 0 });

describe('filters, by their definitions in ISO/IEC 15948, 9.2', () => {
  test('none, sub, up, average and Paeth, worked by hand', () => {
    const lines = [
      [0, 10, 20, 30],
      [1, 5, 250, 10], // 5, 5 + 250, 255 + 10 − 256
      [2, 1, 2, 250], // on 5, 255, 9
      [3, 7, 1, 255], // on 6, 1, 3: half of 0 + 6, of 10 + 1, of 6 + 3, each rounded down
      [4, 1, 1, 1], // on 10, 6, 3: predicted 10, then 6, then 3
    ];
    expect(rowsOf(pngOf(grey(3, 5), lines))).toEqual([
      [10, 20, 30],
      [5, 255, 9],
      [6, 1, 3],
      [10, 6, 3],
      [11, 7, 4],
    ]);
  });

  test('over the first row there is nothing but zeros', () => {
    for (const filter of [2, 3, 4]) {
      const [row] = rowsOf(pngOf(grey(2, 1), [[filter, 8, 4]]));
      expect(row).toEqual({ 2: [8, 4], 3: [8, 8], 4: [8, 12] }[filter]);
    }
  });

  test('what was filtered the way the standard says comes back, pixels of 1 to 8 bytes', () => {
    const kinds = [
      { depth: 8, colour: 0, bytes: 1, kept: [0] },
      { depth: 8, colour: 4, bytes: 2, kept: [0] },
      { depth: 8, colour: 2, bytes: 3, kept: [0, 1, 2] },
      { depth: 8, colour: 6, bytes: 4, kept: [0, 1, 2] },
      { depth: 16, colour: 0, bytes: 2, kept: [0] },
      { depth: 16, colour: 4, bytes: 4, kept: [0] },
      { depth: 16, colour: 2, bytes: 6, kept: [0, 1, 2] },
      { depth: 16, colour: 6, bytes: 8, kept: [0, 1, 2] },
    ];
    const byte = fc.nat(255);
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        fc.integer({ min: 1, max: 4 }),
        fc.array(
          fc.record({ filter: fc.nat(4), raw: fc.array(byte, { minLength: 32, maxLength: 32 }) }),
          {
            minLength: 1,
            maxLength: 6,
          },
        ),
        ({ depth, colour, bytes, kept }, width, drawn) => {
          const raw = drawn.map((line) => line.raw.slice(0, width * bytes));
          const lines = drawn.map(({ filter }, y) => filtered(filter, raw[y], raw[y - 1], bytes));
          const rows = rowsOf(pngOf({ width, height: raw.length, depth, colour }, lines));
          const size = depth / 8;
          const value = (line: number[], at: number) =>
            size === 1 ? line[at] : 256 * line[at] + line[at + 1];
          const expected = raw.map((line) =>
            Array.from({ length: width }, (_, x) =>
              kept.map((c) => value(line, x * bytes + c * size)),
            ).flat(),
          );
          expect(rows).toEqual(expected);
        },
      ),
      { numRuns: 30 },
    );
  });
});

/** A line as a writer filters it: every byte less its prediction. */
function filtered(filter: number, line: number[], over: number[] | undefined, back: number) {
  const out = line.map((value, i) => {
    const left = line[i - back] ?? 0;
    const up = over?.[i] ?? 0;
    const corner = over?.[i - back] ?? 0;
    // Paeth's prediction is the one of the three nearest to left + up − corner, the earlier at a tie.
    const away = (guess: number) => Math.abs(left + up - corner - guess);
    const [nearest] = [left, up, corner].sort((a, b) => away(a) - away(b));
    const predicted = [0, left, up, Math.floor((left + up) / 2), nearest][filter];
    return (value - predicted + 256) % 256;
  });
  return [filter, ...out];
}

describe('depths below 8 are spread over 0…255', () => {
  test('1 bit: black and white, the first pixel in the highest bit', () => {
    expect(rowsOf(pngOf(grey(9, 1, 1), [[0, 0b10110010, 0b10000000]]))).toEqual([
      [255, 0, 255, 255, 0, 0, 255, 0, 255],
    ]);
  });
  test('2 bits: thirds of 255', () => {
    expect(rowsOf(pngOf(grey(5, 1, 2), [[0, 0b00011011, 0b01000000]]))).toEqual([
      [0, 85, 170, 255, 85],
    ]);
  });
  test('4 bits: fifteenths of 255', () => {
    expect(
      rowsOf(
        pngOf(grey(3, 2, 4), [
          [0, 0x0f, 0x80],
          [2, 0x10, 0x10],
        ]),
      ),
    ).toEqual([
      [0, 255, 136],
      [17, 255, 153],
    ]);
  });
  test('a byte is the least that a filter looks back', () => {
    expect(rowsOf(pngOf(grey(4, 1, 4), [[1, 0x12, 0x12]]))).toEqual([[17, 34, 34, 68]]);
  });
});

describe('palettes', () => {
  const palette = chunk('PLTE', [1, 2, 3, 40, 50, 60, 7, 8, 9]);
  const indexed = (width: number, depth: number) => ({ width, height: 1, depth, colour: 3 });
  test.each([
    [1, [0b01000000]],
    [2, [0b00010000]],
    [4, [0x01]],
    [8, [0, 1]],
  ])('entries of %i bits', (depth, line) => {
    expect(rowsOf(pngOf(indexed(2, depth), [[0, ...line]], palette))).toEqual([
      [1, 2, 3, 40, 50, 60],
    ]);
  });
  test('an entry that is not in the palette is black', () => {
    expect(rowsOf(pngOf(indexed(2, 8), [[0, 3, 2]], palette))).toEqual([[0, 0, 0, 7, 8, 9]]);
  });
  test('a palette suggested for a colour picture is not used', () => {
    const setting = { width: 1, height: 1, depth: 8, colour: 6 };
    expect(rowsOf(pngOf(setting, [[0, 0, 1, 2, 255]], palette))).toEqual([[0, 1, 2]]);
  });
});

describe('what a picture says before its rows', () => {
  test.each([
    [0, 8, 1, 255],
    [0, 1, 1, 255],
    [0, 16, 1, 65535],
    [2, 16, 3, 65535],
    [3, 4, 3, 255],
    [4, 8, 1, 255],
    [6, 8, 3, 255],
  ])('colour type %i of %i bits: %i channels up to %i', (colour, depth, channels, full) => {
    const bytes = pngOf({ width: 7, height: 4, depth, colour }, [], chunk('PLTE', [0, 0, 0]));
    const head = { kind: 'PNG', width: 7, height: 4, channels, full, orientation: 1 };
    expect(readPng(bytes)).toMatchObject(head);
  });

  test('which side is up, from its EXIF', () => {
    const exif = [77, 77, 0, 42, 0, 0, 0, 8, 0, 1, 1, 18, 0, 3, 0, 0, 0, 1, 0, 8, 0, 0];
    expect(readPng(pngOf(grey(1, 1), [[0, 0]], chunk('eXIf', exif))).orientation).toBe(8);
  });
});
