import { describe, expect, test } from 'vitest';
import { readJpeg } from '../../../kernel-lib/fitting/picture/picture-jpeg';
import {
  adobe,
  block,
  type Component,
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

function colourJpeg(
  size: { width: number; height: number },
  components: Component[],
  transform: number,
  pixels: number[],
) {
  const head = [
    ...flat(step),
    ...frame({ ...size, components }),
    ...plainTables,
    ...adobe(transform),
  ];
  return jpeg(head, scan(...components.map(({ id }) => [id] as const)), pixels);
}

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
