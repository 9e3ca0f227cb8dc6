import { describe, expect, test } from 'vitest';
import { readJpeg } from '../../kernel-lib/fitting/picture-jpeg';
import {
  block,
  type Component,
  coded,
  flat,
  frame,
  greyJpeg,
  inverseByDefinition,
  jpeg,
  plainTables,
  scan,
  segment,
} from './jpeg-bytes';

function rowsOf(bytes: Uint8Array): number[][] {
  const rows: number[][] = [];
  readJpeg(bytes).each((row, y) => {
    rows.push(Array.from(row));
    expect(rows).toHaveLength(y + 1);
  });
  return rows;
}

/** With steps of 8 a first number of n makes a flat block of 128 + n. */
const step = 8;
const adobe = (transform: number) =>
  segment(0xee, [
    ...Array.from('Adobe', (letter) => letter.charCodeAt(0)),
    0,
    100,
    0,
    0,
    0,
    0,
    transform,
  ]);
const ids = [1, 2, 3];
const sampled = (...by: [number, number][]): Component[] =>
  by.map(([across, down], k) => ({ id: ids[k], across, down }));

function colourJpeg(
  size: { width: number; height: number },
  components: Component[],
  transform: number,
  pixels: number[],
  restart = 0,
) {
  const head = [
    ...flat(step),
    ...frame({ ...size, components }),
    ...plainTables,
    ...adobe(transform),
  ];
  const interval = restart > 0 ? segment(0xdd, [0, restart]) : [];
  return jpeg(head, interval, scan(...components.map(({ id }) => [id] as const)), pixels);
}

describe('grey', () => {
  test('blocks from left to right and from the top; what hangs over the edge is cut off', () => {
    const levels = [
      [10, 20, 30],
      [40, 50, 60],
    ];
    const list = levels.flat().map((level) => level - 128);
    const bits = list.map((value, k) => block(value - (list[k - 1] ?? 0)));
    const rows = rowsOf(greyJpeg({ width: 19, height: 11 }, step, ...bits));
    expect(rows).toHaveLength(11);
    for (const [y, row] of rows.entries())
      expect(row).toEqual(Array.from({ length: 19 }, (_, x) => levels[y >> 3][x >> 3]));
  });

  test('a wave across a block is the one that its coefficients define', () => {
    const [first, second] = [-12, 25];
    const rows = rowsOf(greyJpeg({ width: 8, height: 8 }, step, block(first, [second])));
    const coefficients = [step * first, step * second, ...Array(62).fill(0)];
    for (const [y, row] of rows.entries())
      for (const [x, level] of row.entries())
        expect(Math.abs(level - inverseByDefinition(coefficients, x, y))).toBeLessThan(0.501);
  });

  test('the sampling of a single component means nothing', () => {
    const one = frame({ width: 16, height: 8, components: sampled([2, 2]) });
    const pixels = coded(block(-28), block(10));
    const rows = rowsOf(jpeg(flat(step), one, plainTables, scan([1]), pixels));
    expect(rows).toEqual(Array(8).fill([...Array(8).fill(100), ...Array(8).fill(110)]));
  });

  test('what it says before its rows', () => {
    const picture = readJpeg(greyJpeg({ width: 300, height: 2 }, step));
    const said = { kind: 'JPEG', width: 300, height: 2, channels: 1, full: 255, orientation: 1 };
    expect(picture).toMatchObject(said);
  });

  test('extended sequential coding is read as the plain one', () => {
    const parts = [flat(step), frame({ width: 1, height: 1 }, 1), plainTables, scan([1])];
    expect(rowsOf(jpeg(...parts, coded(block(9))))).toEqual([[137]]);
  });
});

describe('colour', () => {
  const size = { width: 2, height: 1 };
  const one = (transform: number, a: number, b: number, c: number) =>
    rowsOf(
      colourJpeg(
        size,
        sampled([1, 1], [1, 1], [1, 1]),
        transform,
        coded(block(a - 128), block(b - 128), block(c - 128)),
      ),
    )[0];

  test('from luminance and two differences, by the equations of JFIF', () => {
    // Y, Cb, Cr of the pure colours: 0.299, 0.587, 0.114 of 255, and (B − Y)/1.772, (R − Y)/1.402 above 128.
    const colours: [number, number, number][] = [
      [255, 0, 0],
      [0, 255, 0],
      [0, 0, 255],
      [200, 100, 50],
      [17, 17, 17],
    ];
    for (const [r, g, b] of colours) {
      const y = 0.299 * r + 0.587 * g + 0.114 * b;
      const coding = [y, 128 + (b - y) / 1.772, 128 + (r - y) / 1.402].map(Math.round);
      const row = one(1, ...(coding.map((v) => Math.min(v, 255)) as [number, number, number]));
      // Half a level of each, magnified by at most 1.772, and the cut at 255.
      for (const [k, value] of [r, g, b, r, g, b].entries())
        expect(Math.abs(row[k] - value)).toBeLessThan(2.4);
    }
  });

  test('red, green and blue as they are where an Adobe segment says so', () => {
    expect(one(0, 10, 20, 30)).toEqual([10, 20, 30, 10, 20, 30]);
    expect(readJpeg(colourJpeg(size, sampled([1, 1], [1, 1], [1, 1]), 0, [])).channels).toBe(3);
  });

  test('identifiers may be any, and tables follow them', () => {
    const components = [{ id: 82 }, { id: 71 }, { id: 66 }];
    const pixels = coded(block(1), block(2), block(3));
    expect(rowsOf(colourJpeg({ width: 1, height: 1 }, components, 0, pixels))).toEqual([
      [129, 130, 131],
    ]);
  });

  test.each<[number, number]>([
    [2, 2],
    [2, 1],
    [1, 2],
    [4, 1],
  ])('sampled %i × %i: each of a unit lies where it belongs, the coarse ones spread', (h, v) => {
    const [width, height] = [8 * h * 2 - 3, 8 * v * 2 - 5];
    const [unitsAcross, unitsDown] = [2, 2];
    // Red counts the blocks of its own; green and blue count the units.
    const red = (column: number, line: number) => 20 + 11 * column + 40 * line;
    const green = (x: number, y: number) => 60 + 50 * x + 9 * y;
    const blue = (x: number, y: number) => 200 - 7 * x - 70 * y;
    const before = [128, 128, 128];
    const tell = (c: number, level: number) => {
      const bits = block(level - before[c]);
      before[c] = level;
      return bits;
    };
    const bits: string[] = [];
    for (let y = 0; y < unitsDown; y++)
      for (let x = 0; x < unitsAcross; x++) {
        for (let line = 0; line < v; line++)
          for (let column = 0; column < h; column++)
            bits.push(tell(0, red(x * h + column, y * v + line)));
        bits.push(tell(1, green(x, y)), tell(2, blue(x, y)));
      }
    const components = sampled([h, v], [1, 1], [1, 1]);
    const rows = rowsOf(colourJpeg({ width, height }, components, 0, coded(...bits)));
    const expected = Array.from({ length: height }, (_, y) =>
      Array.from({ length: width }, (__, x) => {
        const unit: [number, number] = [Math.floor(x / (8 * h)), Math.floor(y / (8 * v))];
        return [red(x >> 3, y >> 3), green(...unit), blue(...unit)];
      }).flat(),
    );
    expect(rows).toEqual(expected);
  });
});

describe('restart intervals', () => {
  // Levels 129, 131, 134, 138, 143 behind each other; each interval begins at 128 again.
  const pieces = (interval: number) => {
    const out: number[] = [];
    for (let k = 0; k < 5; k += interval) {
      const bits = Array.from({ length: Math.min(interval, 5 - k) }, (_, i) => block(k + i + 1));
      out.push(...(k > 0 ? [0xff, 0xd0 + ((k / interval - 1) % 8)] : []), ...coded(...bits));
    }
    return out;
  };
  const read = (interval: number, pixels: number[]) => {
    const size = frame({ width: 40, height: 1 });
    const said = segment(0xdd, [0, interval]);
    const [row] = rowsOf(jpeg(flat(step), size, plainTables, said, scan([1]), pixels));
    return row.filter((_, x) => x % 8 === 0);
  };

  test.each([
    [1, [129, 130, 131, 132, 133]],
    [2, [129, 131, 131, 135, 133]],
    [3, [129, 131, 134, 132, 137]],
    [5, [129, 131, 134, 138, 143]],
    [9, [129, 131, 134, 138, 143]],
  ])('of %i blocks', (interval, levels) => {
    expect(read(interval, pieces(interval))).toEqual(levels);
  });

  test('a marker that is missing is damage', () => {
    expect(() => read(2, pieces(3).slice(0, 4))).toThrow(/it ends before its last row/);
  });
});

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
    const scans = ids.flatMap((id) => [...scan([id]), ...coded(block(10 * id))]);
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

describe('rare kinds and sizes are refused in a sentence', () => {
  const of = (count: number, bits: number, kind: number, width = 8) => {
    const components = Array.from({ length: count }, (_, k) => ({ id: k + 1 }));
    const names = components.map(({ id }) => [id] as const);
    return () =>
      readJpeg(jpeg(frame({ width, height: 8, components, bits }, kind), scan(...names)));
  };
  test.each([
    [4, 8, 0],
    [2, 8, 0],
    [1, 12, 1],
    [3, 8, 3],
    [1, 8, 9],
  ])('%i components of %i bits in coding %i', (count, bits, kind) => {
    expect(of(count, bits, kind)).toThrow(RangeError);
    expect(of(count, bits, kind)).toThrow(
      `This JPEG has ${count} components of ${bits} bits in coding ${kind}: only grey and colour`,
    );
  });

  test('no pixels, and too many', () => {
    expect(of(1, 8, 0, 0)).toThrow(/0 × 8 pixels: the file is damaged/);
    const large = frame({ width: 60_000, height: 2001 });
    expect(() => readJpeg(jpeg(large, scan([1])))).toThrow(/at most 120 million/);
  });
});
