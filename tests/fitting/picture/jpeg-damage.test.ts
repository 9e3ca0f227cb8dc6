import { expect, test } from 'vitest';
import { readJpeg } from '../../../kernel-lib/fitting/picture/picture-jpeg';
import { block, coded, flat, frame, jpeg, plainTables, scan, segment } from './jpeg-bytes';

test('with any byte changed it is damaged or still whole, never half and never stuck', () => {
  const pixels = coded(...Array.from({ length: 12 }, (_, k) => block(k - 5, [3, 0, -k])));
  const components = [{ id: 1 }, { id: 2 }, { id: 3 }];
  const parts = [frame({ width: 16, height: 16, components }), segment(0xdd, [0, 2]), flat(8)];
  const bytes = jpeg(...parts, plainTables, scan([1], [2], [3]), pixels);
  const tables = 2 + parts.flat().length;
  for (let at = 2; at < bytes.length; at += at > tables && at < tables + 290 ? 19 : 1) {
    const changed = bytes.slice();
    changed[at] ^= [0x01, 0x55, 0xff][at % 3];
    let rows = 0;
    try {
      const picture = readJpeg(changed);
      picture.each(() => rows++);
      expect(rows).toBe(picture.height);
    } catch (error) {
      expect(error).toBeInstanceOf(RangeError);
      expect((error as Error).message).toMatch(/^(This JPEG|The picture) /);
    }
  }
});
