import { describe, expect, test } from 'vitest';
import { readJpegSegments } from '../../../kernel-lib/fitting/picture/jpeg-segments';
import { frame, huffman, jpeg, plainTables, quantisation, scan, segment } from './jpeg-bytes';

const ascii = (text: string) => Array.from(text, (letter) => letter.charCodeAt(0));
const size = { width: 0x0102, height: 0x0304 };
const colour = [
  { id: 10, across: 4, down: 1, table: 3 },
  { id: 20, across: 1, down: 4, table: 1 },
  { id: 30, across: 1, down: 1, table: 2 },
];
const read = (...parts: number[][]) => readJpegSegments(jpeg(...parts));

describe('the frame', () => {
  test('size, bits and components with their sampling and table', () => {
    const header = read(frame({ ...size, components: colour, bits: 12 }), scan([10], [20], [30]));
    expect(header).toMatchObject({ width: 258, height: 772, bits: 12, frame: 0 });
    expect(header.components).toEqual([
      { id: 10, across: 4, down: 1, quantisation: 3 },
      { id: 20, across: 1, down: 4, quantisation: 1 },
      { id: 30, across: 1, down: 1, quantisation: 2 },
    ]);
  });

  test.each([0, 1, 2, 3, 5, 6, 7, 9, 10, 11, 13, 14, 15])('coding %i is named', (kind) => {
    expect(read(frame(size, kind), scan([1])).frame).toBe(kind);
  });

  test('markers 0xc8 and 0xcc, comments and reserved markers are no frames', () => {
    const other = frame({ width: 9, height: 9 }).slice(4);
    for (const marker of [0x02, 0xbf, 0xc8, 0xcc, 0xd0, 0xf0, 0xfe]) {
      expect(read(frame(size), segment(marker, other), scan([1])).width).toBe(258);
      expect(() => read(segment(marker, other), scan([1]))).toThrow(/its size is missing/);
    }
  });
});

describe('the other segments', () => {
  const all = (...parts: number[][]) => read(...parts, frame(size), scan([1]));
  const exif = [...ascii('II'), 42, 0, 8, 0, 0, 0, 1, 0, 0x12, 1, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0];

  test('restart interval, high byte first; without one 0', () => {
    expect(all(segment(0xdd, [1, 2])).restart).toBe(258);
    expect(all().restart).toBe(0);
  });

  test('orientation from EXIF, and only from EXIF', () => {
    expect(all(segment(0xe1, [...ascii('Exif\0\0'), ...exif])).orientation).toBe(6);
    expect(all(segment(0xe1, [...ascii('Exit\0\0'), ...exif])).orientation).toBe(1);
    expect(all(segment(0xe2, [...ascii('Exif\0\0'), ...exif])).orientation).toBe(1);
    expect(all().orientation).toBe(1);
  });

  test('Adobe: transform 0 leaves red, green and blue as they are, 1 does not', () => {
    const adobe = (transform: number, name = 'Adobe', marker = 0xee) =>
      all(segment(marker, [...ascii(name), 0, 100, 0, 0, 0, 0, transform])).transformed;
    expect([adobe(0), adobe(1), adobe(2)]).toEqual([false, true, true]);
    expect([adobe(0, 'Adore'), adobe(0, 'Adobe', 0xed)]).toEqual([true, true]);
    expect(all().transformed).toBe(true);
  });

  test('bytes 0xff may stand before a marker', () => {
    expect(all([0xff, 0xff, 0xff], segment(0xdd, [0, 5]), [0xff]).restart).toBe(5);
  });

  test('the scan: components by their identifiers, tables of each, and where its bits begin', () => {
    const head = [...frame({ ...size, components: colour }), ...scan([10, 0, 1], [20, 2, 3], [30])];
    const header = read(head, [0x5a]);
    expect(header.scan).toEqual([
      { component: 0, dc: 0, ac: 1 },
      { component: 1, dc: 2, ac: 3 },
      { component: 2, dc: 0, ac: 0 },
    ]);
    expect(header.start).toBe(2 + head.length);
    expect(read(frame({ ...size, components: colour }), scan([30])).scan[0].component).toBe(2);
  });

  test('a file that lies within a larger one', () => {
    const inside = jpeg(segment(0xdd, [0, 9]), frame(size), scan([1]));
    const file = new Uint8Array(inside.length + 40).fill(0xff);
    file.set(inside, 17);
    const header = readJpegSegments(file.subarray(17, 17 + inside.length));
    expect(header).toMatchObject({ width: 258, height: 772, restart: 9 });
  });
});

describe('what is damaged is named', () => {
  test.each<[string, number[][], RegExp]>([
    ['nothing in it', [], /^This JPEG is damaged: it ends before its pixels\. Copy it/],
    ['no scan', [frame(size), plainTables], /ends before its pixels/],
    ['no frame', [plainTables, scan([1])], /its size is missing/],
    ['a wrong length', [[0xff, 0xfe, 0, 3, 1, 2], frame(size)], /segment does not begin where/],
    ['a length beyond the end', [[0xff, 0xfe, 0, 99], frame(size), scan([1])], /before its pixels/],
    ['an unknown component', [frame(size), scan([7])], /a component is missing/],
    ['a quantisation table too short', [quantisation(Array(63).fill(1))], /table is cut short/],
    [
      'one of 16 bits too short',
      [segment(0xdb, [16, ...Array(127).fill(1)])],
      /table is cut short/,
    ],
    ['symbols of a Huffman table too few', [huffman(0, 0, [2], [1])], /table is cut short/],
    [
      'a frame cut short',
      [frame(size).slice(0, 3), [9, 8, 1, 2, 1, 2, 1, 5]],
      /not sampled 1 to 4/,
    ],
  ])('%s', (_, parts, sentence) => {
    expect(() => read(...parts)).toThrow(RangeError);
    expect(() => read(...parts)).toThrow(sentence);
  });

  test.each([
    [0, 1],
    [1, 0],
    [5, 1],
    [1, 5],
  ])('a component sampled %i × %i times', (across, down) => {
    const odd = frame({ ...size, components: [{ id: 1 }, { id: 2, across, down }] });
    expect(() => read(odd, scan([1], [2]))).toThrow(/not sampled 1 to 4 times/);
  });

  test('cut anywhere before its pixels', () => {
    const whole = jpeg(quantisation(Array(64).fill(1)), frame(size), scan([1]));
    for (let length = 2; length < whole.length - 2; length++)
      expect(() => readJpegSegments(whole.subarray(0, length))).toThrow(/ends before its pixels/);
  });
});
