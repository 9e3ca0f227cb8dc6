import { describe, expect, test } from 'vitest';
import { readJpeg } from '../../../kernel-lib/fitting/picture/picture-jpeg';
import {
  adobe,
  block,
  coded,
  flat,
  frame,
  jpeg,
  plainTables,
  rowsOf,
  sampled,
  scan,
  step,
} from './jpeg-bytes';

describe('progressive pictures are read as a whole', () => {
  /** One scan of first numbers only (Ss = Se = 0). */
  const firsts = (...components: (readonly [number])[]) => {
    const head = scan(...components);
    head[head.length - 2] = 0;
    return head;
  };

  const alone = (difference: number) => block(difference).slice(0, -8);

  test('grey', () => {
    const size = frame({ width: 10, height: 9 }, 2);
    const pixels = coded(...[2, 10, -20, 30].map(alone));
    const rows = rowsOf(jpeg(flat(step), size, plainTables, firsts([1]), pixels));
    expect(rows).toHaveLength(9);
    expect(rows[7]).toEqual([...Array(8).fill(130), 140, 140]);
    expect(rows[8]).toEqual([...Array(8).fill(120), 150, 150]);
  });

  test('colour', () => {
    const size = frame({ width: 9, height: 1, components: sampled([1, 1], [1, 1], [1, 1]) }, 2);
    const pixels = coded(...[1, 2, 3, 10, 10, 10].map(alone));
    const scanned = firsts([1], [2], [3]);
    const [row] = rowsOf(jpeg(adobe(0), flat(step), size, plainTables, scanned, pixels));
    expect(row.slice(21)).toEqual([129, 130, 131, 139, 140, 141]);
  });

  test('so is a sequential one that tells its components in scans of their own', () => {
    const size = frame({ width: 8, height: 8, components: sampled([1, 1], [1, 1], [1, 1]) });
    const scans = [1, 2, 3].flatMap((id) => [...scan([id]), ...coded(block(10 * id))]);
    const rows = rowsOf(jpeg(adobe(0), flat(step), size, plainTables, scans));
    expect(rows).toEqual(Array(8).fill(Array(8).fill([138, 148, 158]).flat()));
  });

  test('above 24 million pixels they are refused, sequential ones are not', () => {
    const open = (height: number, kind: number) =>
      readJpeg(jpeg(flat(step), frame({ width: 6000, height }, kind), plainTables, scan([1])));
    expect(open(4000, 2).height).toBe(4000);
    expect(open(4001, 0).height).toBe(4001);
    expect(() => open(4001, 2)).toThrow(RangeError);
    expect(() => open(4001, 2)).toThrow(/progressive and has 24\.006 million pixels/);
  });

  test('what the whole decoder says about damage is passed on', () => {
    const size = frame({ width: 64, height: 64 }, 2);
    const broken = jpeg(flat(step), size, scan([1]), [1, 2, 3]);
    expect(() => rowsOf(broken)).toThrow(RangeError);
    expect(() => rowsOf(broken)).toThrow(/^This JPEG is damaged: .* Copy it from the camera again/);
  });
});
