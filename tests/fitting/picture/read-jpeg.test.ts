import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readJpeg } from '../../../kernel-lib/fitting/picture/read-jpeg';

/** Written by Pillow: pictures/make-pictures.py. */
const file = (name: string) =>
  new Uint8Array(readFileSync(new URL(`pictures/${name}`, import.meta.url)));

function rowsOf(bytes: Uint8Array): number[][] {
  const rows: number[][] = [];
  readJpeg(bytes).each((row, y) => {
    expect(y).toBe(rows.length);
    rows.push(Array.from(row));
  });
  return rows;
}

/** Where a marker stands. */
const find = (bytes: Uint8Array, marker: number) =>
  bytes.findIndex((byte, k) => byte === 0xff && bytes[k + 1] === marker);

/** A file with some bytes of a segment changed: [offset from its marker, value]. */
function changed(name: string, marker: number, ...to: [offset: number, value: number][]) {
  const bytes = file(name);
  const at = find(bytes, marker);
  for (const [offset, value] of to) bytes[at + offset] = value;
  return bytes;
}

/** With something put in before a segment. */
function withBefore(name: string, marker: number, more: readonly number[]) {
  const bytes = file(name);
  const at = find(bytes, marker);
  return Uint8Array.of(...bytes.subarray(0, at), ...more, ...bytes.subarray(at));
}

const [plain, progressive, scan] = [0xc0, 0xc2, 0xda];

describe('pixels are those that Pillow was given, but for what JPEG loses', () => {
  const wave = (x: number, y: number) => Math.floor(127 + 100 * Math.sin(x / 9 + y / 31));
  const colour = (x: number, y: number) => [wave(x, y), 255 - wave(x, y), 2 * x];
  test.each<[string, 1 | 3, (x: number, y: number) => number[], number, number]>([
    ['grey.jpg', 1, (x, y) => [wave(x, y)], 4, 0.8],
    ['full-colour.jpg', 3, colour, 7, 1.2],
    ['progressive.jpg', 3, colour, 7, 1.2],
    // Colour in blocks of 2 × 2, spread over their pixels.
    ['half-colour.jpg', 3, colour, 12, 1.6],
  ])('%s', (name, channels, expected, most, usual) => {
    const head = { kind: 'JPEG', width: 93, height: 70, channels, full: 255, orientation: 1 };
    expect(readJpeg(file(name))).toMatchObject(head);
    const rows = rowsOf(file(name));
    expect(rows).toHaveLength(70);
    let [sum, worst] = [0, 0];
    for (const [y, row] of rows.entries()) {
      expect(row).toHaveLength(93 * channels);
      for (const [k, value] of row.entries()) {
        const x = Math.floor(k / channels);
        const off = Math.abs(value - expected(x, y)[k % channels]);
        worst = Math.max(worst, off);
        sum += off;
      }
    }
    expect(worst).toBeLessThanOrEqual(most);
    expect(sum / (93 * 70 * channels)).toBeLessThan(usual);
  });

  test('rows may be asked for twice, and of two pictures in turn', () => {
    const [one, other] = [readJpeg(file('grey.jpg')), readJpeg(file('full-colour.jpg'))];
    const tops: number[][] = [];
    const top = (row: ArrayLike<number>, y: number) => y === 0 && tops.push(Array.from(row));
    one.each((row, y) => {
      top(row, y);
      if (y === 0) other.each(top);
    });
    one.each(top);
    expect(tops).toEqual([
      rowsOf(file('grey.jpg'))[0],
      rowsOf(file('full-colour.jpg'))[0],
      tops[0],
    ]);
  });

  test('an error of whoever takes a row comes out as it is', () => {
    const stop = new Error('enough');
    const take = () => {
      throw stop;
    };
    expect(() => readJpeg(file('grey.jpg')).each(take)).toThrow(stop);
  });
});

describe('what a file says before its pixels', () => {
  const tiff = [...'MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0'];
  const exif = [...'Exif\0\0', ...tiff].map((letter) => letter.charCodeAt(0));
  const segment = (marker: number, body: number[]) => [0xff, marker, 0, body.length + 2, ...body];

  test('which side is up: from the EXIF of an APP1 segment, and no other', () => {
    expect(readJpeg(withBefore('grey.jpg', plain, segment(0xe1, exif))).orientation).toBe(6);
    expect(readJpeg(withBefore('grey.jpg', plain, segment(0xe2, exif))).orientation).toBe(1);
    const other = segment(0xe1, [...exif].fill(0x78, 0, 4));
    expect(readJpeg(withBefore('grey.jpg', plain, other)).orientation).toBe(1);
  });

  test('bytes 0xff may stand before a marker (T.81, B.1.1.2)', () => {
    const rows = rowsOf(withBefore('grey.jpg', scan, [0xff, 0xff]));
    expect(rows).toEqual(rowsOf(file('grey.jpg')));
  });

  test('a file that lies within a larger one', () => {
    const inside = file('grey.jpg');
    const larger = new Uint8Array(inside.length + 40).fill(0xff);
    larger.set(inside, 17);
    expect(rowsOf(larger.subarray(17, 17 + inside.length))).toEqual(rowsOf(inside));
  });

  test('sizes of two bytes', () => {
    const large = changed('grey.jpg', plain, [5, 0x12], [6, 0x34], [7, 0x01], [8, 0x02]);
    expect(readJpeg(large)).toMatchObject({ width: 258, height: 4660 });
  });
});

describe('rare kinds and sizes are refused in a sentence', () => {
  test.each([
    [1, 12, 1],
    [1, 8, 3],
    [1, 8, 9],
    [4, 8, 0],
    [2, 8, 2],
  ])('%i components of %i bits in coding %i', (components, bits, coding) => {
    const to: [number, number][] = [
      [1, 0xc0 + coding],
      [4, bits],
      [9, components],
    ];
    expect(() => readJpeg(changed('grey.jpg', plain, ...to))).toThrow(
      `This JPEG has ${components} components of ${bits} bits in coding ${coding}: only grey and colour`,
    );
  });

  const sized = (name: string, marker: number, width: number, height: number) => () =>
    readJpeg(
      changed(
        name,
        marker,
        ...([height >> 8, height & 255, width >> 8, width & 255].map((value, k) => [
          5 + k,
          value,
        ]) as [number, number][]),
      ),
    );

  test('no pixels; more than 120 million; more than 40 million of a progressive one', () => {
    expect(sized('grey.jpg', plain, 0, 8)).toThrow(/0 × 8 pixels: the file is damaged/);
    expect(sized('grey.jpg', plain, 60_000, 2001)).toThrow(/at most 120 million/);
    expect(sized('grey.jpg', plain, 60_000, 2000)().width).toBe(60_000);
    expect(sized('progressive.jpg', progressive, 40_000, 1000)().height).toBe(1000);
    expect(sized('progressive.jpg', progressive, 40_000, 1001)).toThrow(
      /progressive and has 40\.04 million pixels; of this kind at most 40 million/,
    );
  });
});

describe('what is damaged is named', () => {
  test('cut anywhere before its pixels', () => {
    const bytes = file('full-colour.jpg');
    const pixels = find(bytes, scan) + 4;
    for (let length = 3; length < pixels; length++)
      expect(() => readJpeg(bytes.subarray(0, length))).toThrow(/^This JPEG is damaged: it ends b/);
  });

  test.each(['grey.jpg', 'half-colour.jpg', 'progressive.jpg'])('%s cut in its pixels', (name) => {
    const bytes = file(name);
    for (const part of [0.7, 0.8, 0.97]) {
      const cut = bytes.subarray(0, Math.floor(part * bytes.length));
      expect(() => rowsOf(cut)).toThrow(RangeError);
      expect(() => rowsOf(cut)).toThrow(/damaged: its pixels cannot be read, or not all/);
    }
  });

  test('no size, a segment of a wrong length, a table that is missing', () => {
    expect(() => readJpeg(changed('grey.jpg', plain, [1, 0xfe]))).toThrow(/its size is missing/);
    expect(() => readJpeg(changed('grey.jpg', plain, [3, 9]))).toThrow(/segment does not begin/);
    const untold = changed('grey.jpg', 0xdb, [1, 0xfe]);
    expect(() => rowsOf(untold)).toThrow(/damaged: its pixels cannot be read/);
  });

  test('with any byte changed it is damaged or still whole, never half and never stuck', () => {
    const bytes = file('half-colour.jpg');
    for (let at = 2; at < bytes.length; at += 5) {
      const other = bytes.slice();
      other[at] ^= [0x01, 0x55, 0xff][at % 3];
      let rows = 0;
      try {
        const picture = readJpeg(other);
        // A size that was changed says nothing new, and takes long.
        if (picture.width * picture.height > 1e6) continue;
        picture.each(() => rows++);
        expect(rows).toBe(picture.height);
      } catch (error) {
        expect(error).toBeInstanceOf(RangeError);
        expect((error as Error).message).toMatch(/^(This JPEG|The picture) /);
      }
    }
  });
});
