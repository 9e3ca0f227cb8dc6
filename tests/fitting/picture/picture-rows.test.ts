import { expect, test } from 'vitest';
import { exifOrientation } from '../../../kernel-lib/fitting/picture/picture-rows';

type Entry = readonly [tag: number, value: number];

/** A TIFF block by hand: byte order, 42, offset of the directory, then count and entries of 12 bytes (type 3, short). */
function block(order: 'II' | 'MM', entries: readonly Entry[], directory = 8): Uint8Array {
  const bytes = new Uint8Array(directory + 2 + 12 * entries.length);
  const view = new DataView(bytes.buffer);
  const little = order === 'II';
  bytes.set([order.charCodeAt(0), order.charCodeAt(1)]);
  view.setUint16(2, 42, little);
  view.setUint32(4, directory, little);
  view.setUint16(directory, entries.length, little);
  for (const [k, [tag, value]] of entries.entries()) {
    const at = directory + 2 + 12 * k;
    view.setUint16(at, tag, little);
    view.setUint16(at + 2, 3, little);
    view.setUint32(at + 4, 1, little);
    view.setUint16(at + 8, value, little);
  }
  return bytes;
}

const orientation = 0x0112;
const make: Entry = [0x010f, 5];
const resolution: Entry = [0x011a, 7];

test('orientation 6 in bytes written out, big end first and little end first', () => {
  const big = '4d4d002a00000008 0001 011200030000000100060000';
  const little = '49492a0008000000 0100 120103000100000006000000';
  for (const hex of [big, little]) {
    const bytes = Uint8Array.from(hex.replaceAll(' ', '').match(/../g)!, (pair) =>
      Number.parseInt(pair, 16),
    );
    expect(exifOrientation(bytes)).toBe(6);
  }
});

test.each([1, 2, 3, 4, 5, 6, 7, 8])('orientation %i is read in either byte order', (value) => {
  expect(exifOrientation(block('II', [[orientation, value]]))).toBe(value);
  expect(exifOrientation(block('MM', [[orientation, value]]))).toBe(value);
});

test('it is found behind other tags and in a directory further on', () => {
  expect(exifOrientation(block('II', [make, [orientation, 8]]))).toBe(8);
  expect(exifOrientation(block('MM', [make, resolution, [orientation, 3]], 20))).toBe(3);
});

test('it is found in a block that lies within a larger file', () => {
  const inside = block('MM', [[orientation, 5]]);
  const file = new Uint8Array(inside.length + 30).fill(0x49);
  file.set(inside, 11);
  expect(exifOrientation(file.subarray(11, 11 + inside.length))).toBe(5);
});

test('values that do not exist, 0 and 9 and 65535, count as upright', () => {
  for (const value of [0, 9, 65535])
    expect(exifOrientation(block('MM', [[orientation, value]]))).toBe(1);
});

test('a block without the tag is upright, whatever lies behind its last entry', () => {
  const bytes = block('II', [make, resolution, [orientation, 6]]);
  new DataView(bytes.buffer).setUint16(8, 2, true);
  expect(exifOrientation(bytes)).toBe(1);
});

test('without a byte-order mark nothing is believed', () => {
  const bytes = block('MM', [[orientation, 6]]);
  bytes[0] = 0x58;
  expect(exifOrientation(bytes)).toBe(1);
});

test('every block cut short is upright', () => {
  for (const order of ['II', 'MM'] as const) {
    const whole = block(order, [make, [orientation, 6]]);
    for (let length = 0; length < whole.length; length++)
      expect(exifOrientation(whole.subarray(0, length))).toBe(1);
  }
});

test('a directory said to begin at the last byte or far behind it is upright', () => {
  for (const directory of [21, 22, 23, 0xffffffff]) {
    const bytes = block('MM', [[orientation, 6]]);
    new DataView(bytes.buffer).setUint32(4, directory);
    expect(exifOrientation(bytes)).toBe(1);
  }
});
