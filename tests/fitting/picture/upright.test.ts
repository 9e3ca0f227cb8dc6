import { describe, expect, test } from 'vitest';
import { upright } from '../../../kernel-lib/fitting/picture/lanes';

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
