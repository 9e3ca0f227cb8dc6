import { readFileSync } from 'node:fs';
import { decode, encode } from 'fast-png';
import { describe, expect, test } from 'vitest';
import { smallPicture, withoutMetadata } from '../../../kernel-lib/fitting/picture/private-picture';
import { readPicture } from '../../../kernel-lib/fitting/picture/read-picture';
import { greyPicture } from './known-pictures';

const kept = (name: string) =>
  new Uint8Array(readFileSync(new URL(`pictures/${name}`, import.meta.url)));
const pixels = (bytes: Uint8Array) => {
  const list: number[] = [];
  readPicture(bytes).each((row) => list.push(...Array.from(row)));
  return list;
};
const has = (bytes: Uint8Array, text: string) => Buffer.from(bytes).includes(text);

/** A segment as cameras write them: marker, length, body. */
const segment = (marker: number, body: string) => {
  const length = body.length + 2;
  return Buffer.concat([Buffer.from([0xff, marker, length >> 8, length & 255]), Buffer.from(body)]);
};

describe('a JPEG', () => {
  test.each(['full-colour.jpg', 'half-colour.jpg', 'progressive.jpg', 'grey.jpg'])(
    '%s: place, owner, remark and what hangs on behind its end go; pixels stay',
    (name) => {
      const file = kept(name);
      const said = Buffer.concat([
        file.subarray(0, 2),
        segment(0xe1, 'Exif\0\0MM\0*\0\0\0\b\0\0 GPS 47.1 N, Edda Lund'),
        segment(0xe1, 'http://ns.adobe.com/xap/1.0/\0<x>Room 12</x>'),
        segment(0xfe, 'taken with camera 7'),
        file.subarray(2),
        Buffer.from('a film of the room'),
      ]);
      const bare = withoutMetadata(new Uint8Array(said));
      for (const text of ['GPS', 'Lund', 'Room 12', 'camera 7', 'film']) {
        expect(has(said, text)).toBe(true);
        expect(has(bare, text)).toBe(false);
      }
      expect(pixels(bare)).toEqual(pixels(file));
      expect(bare.length).toBeLessThanOrEqual(file.length);
    },
  );

  test.each([1, 2, 3, 4, 5, 6, 7, 8])('orientation %i stays, and nothing else of its EXIF', (n) => {
    const bare = withoutMetadata(kept(`orientation-${n}.jpg`));
    expect(readPicture(bare).orientation).toBe(n);
    expect(pixels(bare)).toEqual(pixels(kept(`orientation-${n}.jpg`)));
  });
});

test('a PNG: its texts go, its pixels and palette stay', () => {
  const data = Uint8Array.from({ length: 12 }, (_, k) => 20 * k);
  const file = encode({ width: 4, height: 3, channels: 1, data, text: { Author: 'Edda Lund' } });
  expect(has(file, 'Edda Lund')).toBe(true);
  const bare = withoutMetadata(file);
  expect(has(bare, 'Edda Lund')).toBe(false);
  expect([...decode(bare).data]).toEqual([...data]);
  for (const name of ['palette.png', 'grey-16.png', 'two-level.png', 'colour.png']) {
    expect(pixels(withoutMetadata(kept(name)))).toEqual(pixels(kept(name)));
  }
});

describe('a small picture', () => {
  test('is cut, averaged as light, and upright', () => {
    // Light 0.25 and 0.75 average to 0.5: codes 137, 225 and 188 of the standard's curve (from memory).
    const file = greyPicture(8, 4, (x) => (x % 2 ? 225 : 137));
    const small = readPicture(smallPicture(file, { most: 4 }));
    expect([small.width, small.height]).toEqual([4, 2]);
    expect(new Set(pixels(smallPicture(file, { most: 4 })))).toEqual(new Set([188]));
    const part = smallPicture(file, { part: { x: 1, y: 0, width: 3, height: 2 } });
    expect(pixels(part)).toEqual([225, 137, 225, 225, 137, 225]);
    const turned = readPicture(smallPicture(kept('orientation-6.jpg')));
    expect([turned.width, turned.height, turned.orientation]).toEqual([93, 70, 1]);
  });

  test('a part outside is named', () => {
    const ask = { part: { x: 0, y: 0, width: 9, height: 2 } };
    expect(() =>
      smallPicture(
        greyPicture(8, 4, () => 9),
        ask,
      ),
    ).toThrow(/part\.width/);
  });
});

test('what phones save by themselves is named, with how it becomes a JPEG', () => {
  const heic = Uint8Array.from([0, 0, 0, 24, ...Buffer.from('ftypheic'), 0, 0, 0, 0, 0, 0, 0, 0]);
  expect(() => withoutMetadata(heic)).toThrow(/is a HEIC.*most compatible format.*as JPEG/);
});
