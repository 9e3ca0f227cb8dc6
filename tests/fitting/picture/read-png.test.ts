import fc from 'fast-check';
import { zlibSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { readPng } from '../../../kernel-lib/fitting/picture/read-png';

interface PngSetting {
  readonly width: number;
  readonly height: number;
  readonly depth: number;
  /** 0 grey, 2 colour, 3 palette, 4 grey and opacity, 6 colour and opacity. */
  readonly colour: number;
  readonly interlace?: 0 | 1;
}

/** Length, name, body and a sum, which the reader does not check (ISO/IEC 15948, 5.3). */
function chunk(type: string, body: Iterable<number> = []): number[] {
  const content = [...body];
  return [...bigEnded(content.length), ...ascii(type), ...content, 0, 0, 0, 0];
}

/** ISO/IEC 15948, 11.2.2. */
const ihdr = ({ width, height, depth, colour, interlace = 0 }: PngSetting) =>
  chunk('IHDR', [...bigEnded(width), ...bigEnded(height), depth, colour, 0, 0, interlace]);

const png = (...chunks: readonly (readonly number[])[]) =>
  Uint8Array.from([0x89, ...ascii('PNG'), 13, 10, 26, 10, ...chunks.flat()]);

/** A picture whose lines, each with the number of its filter in front, are given as they stand in the file. */
const pngOf = (
  setting: PngSetting,
  lines: readonly (readonly number[])[],
  ...more: readonly (readonly number[])[]
) => png(ihdr(setting), ...more, chunk('IDAT', packed(lines.flat())), chunk('IEND'));

const packed = (bytes: readonly number[]) => zlibSync(Uint8Array.from(bytes));
const bigEnded = (value: number) => [24, 16, 8, 0].map((shift) => (value >>> shift) & 255);
const ascii = (text: string) => Array.from(text, (letter) => letter.charCodeAt(0));

/** All rows of a picture, copied: a row is only valid while it is handed over. */
function rowsOf(bytes: Uint8Array): number[][] {
  const rows: number[][] = [];
  readPng(bytes).each((row, y) => {
    rows[y] = Array.from(row);
  });
  return rows;
}

const grey = (width: number, height: number, depth = 8) => ({ width, height, depth, colour: 0 });
const palette = chunk('PLTE', [1, 2, 3, 40, 50, 60, 7, 8, 9]);

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
    const bytes = pngOf({ width: 0x0107, height: 0x0204, depth, colour }, [], palette);
    const head = { kind: 'PNG', width: 263, height: 516, channels, full, orientation: 1 };
    expect(readPng(bytes)).toMatchObject(head);
  });

  test('which side is up, from its EXIF, not from what stands behind the end', () => {
    const exif = [77, 77, 0, 42, 0, 0, 0, 8, 0, 1, 1, 18, 0, 3, 0, 0, 0, 1, 0, 8, 0, 0];
    expect(readPng(pngOf(grey(1, 1), [[0, 0]], chunk('eXIf', exif))).orientation).toBe(8);
    const behind = [...pngOf(grey(1, 1), [[0, 0]]), ...chunk('eXIf', exif)];
    expect(readPng(Uint8Array.from(behind)).orientation).toBe(1);
  });

  test('a file that lies within a larger one is read from its own first byte', () => {
    const inside = pngOf(grey(2, 1), [[0, 5, 6]]);
    const file = new Uint8Array(inside.length + 50).fill(7);
    file.set(inside, 13);
    expect(rowsOf(file.subarray(13, 13 + inside.length))).toEqual([[5, 6]]);
  });
});

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
    const raw = fc.array(fc.nat(255), { minLength: 32, maxLength: 32 });
    const line = fc.record({ filter: fc.nat(4), raw });
    const lines = fc.array(line, { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        fc.integer({ min: 1, max: 4 }),
        lines,
        ({ depth, colour, bytes, kept }, width, drawn) => {
          const rows = drawn.map((one) => one.raw.slice(0, width * bytes));
          const stored = drawn.map(({ filter }, y) =>
            filtered(filter, rows[y], rows[y - 1], bytes),
          );
          const size = depth / 8;
          const value = (row: number[], at: number) =>
            size === 1 ? row[at] : 256 * row[at] + row[at + 1];
          const expected = rows.map((row) =>
            Array.from({ length: width }, (_, x) =>
              kept.map((c) => value(row, x * bytes + c * size)),
            ).flat(),
          );
          const setting = { width, height: rows.length, depth, colour };
          expect(rowsOf(pngOf(setting, stored))).toEqual(expected);
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

describe('depths below 8 are spread over 0…255, the first pixel in the highest bits', () => {
  test.each<[string, number, number, number[][], number[][]]>([
    ['1 bit', 9, 1, [[0, 0b10110010, 0b10000000]], [[255, 0, 255, 255, 0, 0, 255, 0, 255]]],
    ['2 bits', 5, 2, [[0, 0b00011011, 0b01000000]], [[0, 85, 170, 255, 85]]],
    ['4 bits', 3, 4, [[0, 0x0f, 0x80]], [[0, 255, 136]]],
    ['4 bits, a filter that looks up', 3, 4, [[2, 0x1f, 0x90]], [[17, 255, 153]]],
    // A byte is the least that a filter looks back.
    ['4 bits, a filter that looks back', 4, 4, [[1, 0x12, 0x12]], [[17, 34, 34, 68]]],
  ])('%s', (_, width, depth, lines, rows) => {
    expect(rowsOf(pngOf(grey(width, 1, depth), lines))).toEqual(rows);
  });
});

describe('palettes', () => {
  const indexed = (width: number, depth: number) => ({ width, height: 1, depth, colour: 3 });
  test.each([
    [1, [0b01000000]],
    [2, [0b00010000]],
    [4, [0x01]],
    [8, [0, 1]],
  ])('entries of %i bits', (depth, line) => {
    const rows = rowsOf(pngOf(indexed(2, depth), [[0, ...line]], palette));
    expect(rows).toEqual([[1, 2, 3, 40, 50, 60]]);
  });
  test('an entry that is not in the palette is black', () => {
    expect(rowsOf(pngOf(indexed(2, 8), [[0, 3, 2]], palette))).toEqual([[0, 0, 0, 7, 8, 9]]);
  });
  test('a palette suggested for a colour picture is not used', () => {
    const setting = { width: 1, height: 1, depth: 8, colour: 6 };
    expect(rowsOf(pngOf(setting, [[0, 0, 1, 2, 255]], palette))).toEqual([[0, 1, 2]]);
  });
});

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
  const split = (body: Uint8Array, size: number) =>
    Array.from({ length: Math.ceil(body.length / size) }, (_, k) =>
      chunk('IDAT', body.subarray(k * size, (k + 1) * size)),
    );

  test.each([1, 2, 5, 1000])('%i bytes each, with others and empty ones between', (size) => {
    const chunks = split(packed(lines.flat()), size).flatMap((one) => [
      ...one,
      ...chunk('tEXt', [65]),
      ...chunk('IDAT'),
    ]);
    expect(rowsOf(png(ihdr(grey(3, 3)), chunks, chunk('IEND')))).toEqual(expected);
    expect(rowsOf(png(ihdr(grey(3, 3)), chunks, [0, 0, 0, 0]))).toEqual(expected);
  });

  test('a chunk of more than 64 KiB is read to its end', () => {
    const [width, height] = [410, 165];
    const pixels = Array.from({ length: height }, (_, y) =>
      Array.from({ length: width }, (__, x) => (7 * x + 13 * y) % 256),
    );
    const body = zlibSync(Uint8Array.from(pixels.flatMap((row) => [0, ...row])), { level: 0 });
    expect(body.length).toBeGreaterThan(65536);
    const rows = rowsOf(png(ihdr(grey(width, height)), chunk('IDAT', body)));
    expect(rows.join() === pixels.join()).toBe(true);
  });

  test('what is packed behind the last row is left alone, right or wrong', () => {
    expect(rowsOf(pngOf(grey(3, 3), [...lines, [9, 9, 9, 9], [9]]))).toEqual(expected);
    const bodies = [
      [...zlibHead, ...stored(lines.flat())],
      [...noBlock, ...sum],
    ];
    const bytes = png(ihdr(grey(3, 3)), ...bodies.map((body) => chunk('IDAT', body)));
    expect(rowsOf(bytes)).toEqual(expected);
    const behind = pngOf(grey(3, 3), lines);
    expect(rowsOf(Uint8Array.of(...behind, ...chunk('IDAT', [1])))).toEqual(expected);
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

  test.each<[string, Uint8Array]>([
    ['picture', png()],
    ['size', png(chunk('IDAT', [1]), chunk('IEND'))],
    ['whole size', png(chunk('IHDR', [0, 0, 0, 3, 0, 0, 0, 2, 8, 0, 0, 0]), chunk('IDAT', [1]))],
    ['pixels', png(ihdr(grey(3, 2)), chunk('IEND'))],
  ])('no %s', (_, bytes) => {
    expect(sentence(bytes)).toBe(
      'This PNG is damaged: it has no picture in it. Save or copy the file again.',
    );
  });

  test('no palette', () => {
    const bytes = pngOf({ width: 3, height: 2, depth: 2, colour: 3 }, []);
    expect(sentence(bytes)).toMatch(/its palette is missing/);
  });

  test('cut anywhere', () => {
    const whole = pngOf(grey(2, 2), [
      [0, 1, 2],
      [0, 3, 4],
    ]);
    // The last chunk, and the sums of the one before, are not missed.
    for (let length = 8; length < whole.length - 20; length++)
      expect(sentence(whole.subarray(0, length))).toMatch(/^This PNG is damaged: /);
  });

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
    expect(laid(half, [0, ...sum])).toMatch(/unpacked after row 1 of 2 \(unexpected EOF\)/);
    expect(laid(half, [...noBlock, ...sum])).toMatch(/after row 1 of 2 \(invalid block type\)/);
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
    const bytes = pngOf({ width: 2, height: 1, depth, colour }, [[0, 0]], palette);
    expect(sentence(bytes)).toMatch(`damaged: colour type ${colour} with ${depth} bits does not`);
  });

  test('sizes of 0 and of more than 120 million pixels', () => {
    expect(sentence(pngOf(grey(0, 5), []))).toMatch(/0 × 5 pixels: the file is damaged/);
    expect(sentence(pngOf(grey(20_000, 7000), []))).toMatch(/140 million pixels/);
  });
});

test.each([0, 1])('an error of whoever takes row %i comes out as it is', (at) => {
  const stop = new Error('enough');
  const lines = [
    [0, 1],
    [0, 2],
  ];
  const take = (_: ArrayLike<number>, y: number) => {
    if (y === at) throw stop;
  };
  expect(() => readPng(pngOf(grey(1, 2), lines)).each(take)).toThrow(stop);
});

describe('interlaced pictures of 8 and 16 bits come out in whole rows', () => {
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
  const [width, height] = [11, 9];

  /** The bytes of each pixel, pass after pass, no line filtered. */
  function interlaced(depth: number, colour: number, pixel: (x: number, y: number) => number[]) {
    const lines: number[] = [];
    for (const [x0, y0, across, down] of passes)
      for (let y = y0; y < height; y += down) {
        lines.push(0);
        for (let x = x0; x < width; x += across) lines.push(...pixel(x, y));
      }
    const head = ihdr({ width, height, depth, colour, interlace: 1 });
    return png(head, palette, chunk('IDAT', packed(lines)), chunk('IEND'));
  }
  const expected = (values: (x: number, y: number) => number[]) =>
    Array.from({ length: height }, (_, y) =>
      Array.from({ length: width }, (__, x) => values(x, y)).flat(),
    );

  test.each<[string, number, number, (x: number, y: number) => number[], number]>([
    ['grey', 0, 8, (x, y) => [20 * x + y], 1],
    ['grey and opacity', 4, 8, (x, y) => [20 * x + y, 255 - x], 1],
    ['colour', 2, 8, (x, y) => [20 * x + y, x, 100 + y], 3],
    ['colour and opacity', 6, 8, (x, y) => [20 * x + y, x, 100 + y, 255 - y], 3],
  ])('%s', (_, colour, depth, pixel, kept) => {
    const rows = rowsOf(interlaced(depth, colour, pixel));
    expect(rows).toEqual(expected((x, y) => pixel(x, y).slice(0, kept)));
  });

  test('16 bits, high byte first', () => {
    const one = interlaced(16, 0, (x, y) => [x + 1, 200 + y]);
    expect(rowsOf(one)).toEqual(expected((x, y) => [256 * (x + 1) + 200 + y]));
    const three = interlaced(16, 2, (x, y) => [x, y, 1, 2, y, x]);
    expect(rowsOf(three)).toEqual(expected((x, y) => [256 * x + y, 258, 256 * y + x]));
  });

  test('a palette of 8 bits', () => {
    const entry = (x: number, y: number) => (x + 2 * y) % 3;
    const colours = [
      [1, 2, 3],
      [40, 50, 60],
      [7, 8, 9],
    ];
    const rows = rowsOf(interlaced(8, 3, (x, y) => [entry(x, y)]));
    expect(rows).toEqual(expected((x, y) => colours[entry(x, y)]));
  });

  test('below 8 bits, above 24 million pixels, and damaged: said in a sentence', () => {
    const head = (across: number, down: number, depth: number) =>
      png(ihdr({ ...grey(across, down, depth), interlace: 1 }), chunk('IDAT', [1]));
    expect(() => readPng(head(9, 9, 4))).toThrow(
      /interlaced \(9 × 9 pixels of 4 bits\).*without interlacing/,
    );
    expect(() => readPng(head(6000, 4001, 8))).toThrow(/interlaced \(6000 × 4001 pixels/);
    expect(readPng(head(6000, 4000, 8)).width).toBe(6000);
    expect(() => rowsOf(head(9, 9, 8))).toThrow(RangeError);
    expect(() => rowsOf(head(9, 9, 8))).toThrow(/^This PNG is damaged: .*Save or copy the file/);
  });
});
