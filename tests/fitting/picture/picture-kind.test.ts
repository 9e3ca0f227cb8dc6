import { describe, expect, test } from 'vitest';
import { checkSize, pictureKind } from '../../../kernel-lib/fitting/picture/picture-kind';
import { readPicture } from '../../../kernel-lib/fitting/picture/read-picture';
import { flat, frame, jpeg, plainTables, scan } from './jpeg-bytes';
import { pngOf } from './png-bytes';

const bytes = (text: string) => Uint8Array.from(text, (letter) => letter.charCodeAt(0));
const kinds: [string, string][] = [
  ['a GIF', 'GIF89a'],
  ['a GIF', 'GIF87a'],
  ['a TIFF or a raw camera file', 'II*\0'],
  ['a TIFF or a raw camera file', 'MM\0*'],
  ['a WebP', 'RIFF\x10\0\0\0WEBPVP8 '],
  ['a HEIC or AVIF', '\0\0\0\x18ftypheic'],
  ['a HEIC or AVIF', '\0\0\0\x1cftypavif'],
  ['a BMP', 'BM\x36\0\0\0'],
  ['a PDF', '%PDF-1.4'],
  ['a zip (or an office document)', 'PK\x03\x04'],
];

describe('the kind is told by the first bytes', () => {
  test('PNG by its eight, JPEG by its three', () => {
    expect(pictureKind(bytes('\x89PNG\r\n\x1a\n'))).toBe('PNG');
    expect(pictureKind(bytes('\xff\xd8\xff\xe0'))).toBe('JPEG');
    expect(pictureKind(bytes('\xff\xd8\xff'))).toBe('JPEG');
  });

  test('a reader is chosen by it', () => {
    const setting = { width: 2, height: 3, depth: 8, colour: 0 };
    expect(readPicture(pngOf(setting, [])).kind).toBe('PNG');
    const other = jpeg(flat(1), frame(setting), plainTables, scan([1]));
    expect(readPicture(other).kind).toBe('JPEG');
  });

  test.each(kinds)('%s', (name, start) => {
    const sentence = `This file is ${name}, whatever its name says: a picture must be PNG or JPEG. Save it as one of these.`;
    for (const file of [start, `${start} and a hundred bytes`.padEnd(100, '\0')]) {
      expect(() => pictureKind(bytes(file))).toThrow(RangeError);
      expect(() => pictureKind(bytes(file))).toThrow(sentence);
    }
  });

  test('a PNG whose line ends were changed on the way, and one cut within its mark, are neither', () => {
    for (const start of ['\x89PNG\n\x1a\n\0', '\x89PNG\r\n\x1a', '\xff\xd8'])
      expect(() => pictureKind(bytes(start))).toThrow('This file is of a kind that is not known,');
  });

  test('a name that stands elsewhere says nothing', () => {
    for (const start of ['  GIF89a', 'WEBP', 'ftypheic', ' BM', '\x89PDF'])
      expect(() => pictureKind(bytes(start))).toThrow(/This file is (text|of a kind)/);
  });
});

describe('what else a file may be', () => {
  test('empty', () => {
    expect(() => pictureKind(new Uint8Array())).toThrow('This file is empty, whatever');
  });

  test('text: printable letters, tabulators and line ends in its first 200 bytes', () => {
    for (const file of ['x', 'x\ty\r\n1\t2\n', '~ {}', `${'-'.repeat(200)}\0\xff`])
      expect(() => pictureKind(bytes(file))).toThrow('This file is text,');
  });

  test('not known: with one byte among its first 200 that text does not have', () => {
    for (const odd of ['\0', '\x08', '\x7f', '\xe9'])
      for (const file of [odd, `ab${odd}cd`, `${'-'.repeat(199)}${odd}`])
        expect(() => pictureKind(bytes(file))).toThrow('This file is of a kind that is not known,');
  });

  test.each([[undefined], ['picture.png'], [[0x89, 0x50]], [new ArrayBuffer(8)]])(
    'not bytes: %o',
    (given) => {
      expect(() => pictureKind(given as never)).toThrow(TypeError);
      expect(() => pictureKind(given as never)).toThrow(/give a Uint8Array/);
    },
  );
});

describe('sizes', () => {
  test.each([
    [1, 1],
    [12_000, 10_000],
    [65_535, 1],
    [1, 65_535],
  ])('%i × %i is read', (width, height) => {
    expect(() => checkSize(width, height)).not.toThrow();
  });

  test.each([
    [0, 5],
    [5, 0],
    [Number.NaN, 5],
    [-1, -1],
  ])('%i × %i is damage', (width, height) => {
    expect(() => checkSize(width, height)).toThrow(RangeError);
    expect(() => checkSize(width, height)).toThrow(
      `says it is ${width} × ${height} pixels: the file is damaged`,
    );
  });

  test.each([
    [12_000, 10_001, '120.012 million pixels (12000 × 10001); at most 120 million'],
    [65_536, 1, '0.065536 million pixels (65536 × 1); at most 120 million, and 65535 along'],
    [1, 65_536, '0.065536 million pixels (1 × 65536)'],
  ])('%i × %i is too large', (width, height, sentence) => {
    expect(() => checkSize(width, height)).toThrow(RangeError);
    expect(() => checkSize(width, height)).toThrow(sentence);
  });
});
