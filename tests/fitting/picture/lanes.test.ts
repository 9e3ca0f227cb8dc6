import { describe, expect, test } from 'vitest';
import { gatherLanes, type LaneOptions, upright } from '../../../kernel-lib/fitting/picture/lanes';
import type { PictureRows } from '../../../kernel-lib/fitting/picture/picture-rows';

/** A grey or coloured picture of these rows, each pixel a list of its channels. */
function picture(
  rows: readonly (readonly (readonly number[])[])[],
  more: Partial<PictureRows> = {},
): PictureRows {
  return {
    kind: 'PNG',
    width: rows[0].length,
    height: rows.length,
    channels: rows[0][0].length === 1 ? 1 : 3,
    full: 255,
    orientation: 1,
    each: (take) => {
      for (const [y, row] of rows.entries()) take(row.flat(), y);
    },
    ...more,
  };
}

const grey = (rows: readonly (readonly number[])[], more: Partial<PictureRows> = {}) =>
  picture(
    rows.map((row) => row.map((code) => [code])),
    more,
  );

const plain = { axis: 'x', curve: 'linear', saturation: 1 } as const;
const whole = (width: number, height: number): LaneOptions => ({
  ...plain,
  band: { from: 0, to: height },
  along: { from: 0, to: width },
  count: height,
});
/** Signals as codes of 255, rounded. */
const codes = (values: ArrayLike<number>) => Array.from(values, (value) => Math.round(value * 255));

test('a picture kept lying on either side gives the lanes of the one that stands', () => {
  const right = grey(
    [
      [30, 60],
      [20, 50],
      [10, 40],
    ],
    { orientation: 6 },
  );
  const left = grey(
    [
      [40, 10],
      [50, 20],
      [60, 30],
    ],
    { orientation: 8 },
  );
  for (const lying of [right, left]) {
    expect(codes(gatherLanes(lying, whole(3, 2)).channels[0])).toEqual([10, 20, 30, 40, 50, 60]);
    const part = {
      ...whole(3, 2),
      band: { from: 1, to: 2 },
      along: { from: 1, to: 3 },
      count: 1,
    };
    expect(codes(gatherLanes(lying, part).channels[0])).toEqual([50, 60]);
  }
});

describe('lanes', () => {
  const rows = [
    [1, 2, 3, 4],
    [10, 20, 30, 40],
    [50, 60, 70, 80],
    [90, 100, 110, 120],
    [130, 140, 150, 160],
    [170, 180, 190, 200],
  ];
  const four = whole(4, 6);

  test('one pixel wide they are the rows, by whatever part is asked for', () => {
    expect(codes(gatherLanes(grey(rows), four).channels[0])).toEqual(rows.flat());
    const part = { ...four, band: { from: 1, to: 3 }, along: { from: 2, to: 4 }, count: 2 };
    const lanes = gatherLanes(grey(rows), part);
    expect(codes(lanes.channels[0])).toEqual([30, 40, 70, 80]);
    expect(lanes).toMatchObject({ length: 2, count: 2, first: 2, middles: [1, 2] });
  });

  test('wider ones are the means of their pixels, with their middles in pixels', () => {
    const pairs = gatherLanes(grey(rows), { ...four, band: { from: 1, to: 5 }, count: 2 });
    expect(codes(pairs.channels[0])).toEqual([30, 40, 50, 60, 110, 120, 130, 140]);
    expect(pairs.middles).toEqual([1.5, 3.5]);
    const one = gatherLanes(grey(rows), { ...four, band: { from: 3, to: 6 }, count: 1 });
    expect(codes(one.channels[0])).toEqual([130, 140, 150, 160]);
    expect(one.middles).toEqual([4]);
  });

  test('lanes that do not share the band evenly get the pixels whose top lies in them', () => {
    const { channels, middles } = gatherLanes(grey(rows), {
      ...four,
      band: { from: 1, to: 6 },
      count: 2,
    });
    // Five rows, 2½ for each: three begin in the first lane.
    expect(codes(channels[0])).toEqual([50, 60, 70, 80, 150, 160, 170, 180]);
    expect(middles).toEqual([1.75, 4.25]);
  });

  test('along y they are the columns', () => {
    const columns = gatherLanes(grey(rows), {
      ...plain,
      axis: 'y',
      band: { from: 1, to: 4 },
      along: { from: 2, to: 5 },
      count: 3,
    });
    expect(codes(columns.channels[0])).toEqual([60, 100, 140, 70, 110, 150, 80, 120, 160]);
    expect(columns).toMatchObject({ length: 3, count: 3, first: 2, middles: [1, 2, 3] });
  });

  test('the picture is decoded once', () => {
    let times = 0;
    const once = grey(rows);
    gatherLanes({ ...once, each: (take) => [times++, once.each(take)] }, four);
    expect(times).toBe(1);
  });
});

describe('signal', () => {
  const one = whole(2, 1);

  test('the channels of a coloured picture stay apart', () => {
    const colours = picture([
      [
        [1, 20, 255],
        [4, 50, 60],
      ],
    ]);
    const { channels, saturated } = gatherLanes(colours, one);
    expect(channels.map(codes)).toEqual([
      [1, 4],
      [20, 50],
      [255, 60],
    ]);
    expect(saturated.map((flags) => [...flags])).toEqual([
      [0, 0],
      [0, 0],
      [1, 0],
    ]);
  });

  test('the sRGB curve is undone before the mean is taken', () => {
    // Code 188 of 255 is half the irradiance of 255: ((188/255 + 0.055)/1.055)^2.4 = 0.5029.
    const pair = grey([[188], [255]]);
    const { channels } = gatherLanes(pair, { ...whole(1, 2), curve: 'sRGB', count: 1 });
    expect(channels[0][0]).toBeCloseTo((0.5029 + 1) / 2, 4);
    const linear = gatherLanes(pair, { ...whole(1, 2), count: 1 });
    expect(linear.channels[0][0]).toBeCloseTo((188 / 255 + 1) / 2, 6);
  });

  test('full scale is 1 at 16 bits too', () => {
    const { channels } = gatherLanes(grey([[65535, 13107]], { full: 65535 }), one);
    expect(channels[0][0]).toBe(1);
    expect(channels[0][1]).toBeCloseTo(0.2, 6);
  });

  test('saturated from the given share of full scale on, if any pixel of the cell is', () => {
    const flags = (rows: PictureRows, saturation: number, count: number) => [
      ...gatherLanes(rows, { ...whole(3, 2), saturation, count }).saturated[0],
    ];
    const rows = grey([
      [203, 204, 255],
      [0, 254, 0],
    ]);
    expect(flags(rows, 0.8, 2)).toEqual([0, 1, 1, 0, 1, 0]);
    expect(flags(rows, 1, 2)).toEqual([0, 0, 1, 0, 0, 0]);
    expect(flags(rows, 1, 1)).toEqual([0, 0, 1]);
  });
});

describe('how a picture is turned to stand upright', () => {
  // EXIF: on which side of the upright picture the file's first row and first column lie (CIPA DC-008, from memory).
  const sides = [
    ['top', 'left'],
    ['top', 'right'],
    ['bottom', 'right'],
    ['bottom', 'left'],
    ['left', 'top'],
    ['right', 'top'],
    ['right', 'bottom'],
    ['left', 'bottom'],
  ] as const;
  const [width, height] = [3, 2];

  test.each(sides.map((pair, i) => [i + 1, ...pair] as const))(
    'orientation %i: the first row is at the %s, the first column at the %s',
    (orientation, row, column) => {
      const turn = upright(orientation, width, height);
      const stands = row === 'top' || row === 'bottom';
      expect([turn.width, turn.height]).toEqual(stands ? [3, 2] : [2, 3]);
      const seen = new Set<string>();
      for (let y = 0; y < height; y++)
        for (let x = 0; x < width; x++) {
          const [X, Y] = [turn.across, turn.down].map((by) => by[0] * x + by[1] * y + by[2]);
          const from = { left: X, top: Y, right: turn.width - 1 - X, bottom: turn.height - 1 - Y };
          expect([from[row], from[column]]).toEqual([y, x]);
          seen.add(`${X} ${Y}`);
        }
      expect(seen.size).toBe(6);
    },
  );
});
