import { describe, expect, test } from 'vitest';
import { onPlane, planeScale, rulerScale } from '../../../kernel-lib/fitting/picture/picture-scale';

describe('two marks of a ruler', () => {
  test('metres per pixel; clicks of 2 pixels on 1000 make √2 · 0.002, and the lens adds to it', () => {
    const [a, b] = [
      { x: 100, y: 50 },
      { x: 700, y: 850 },
    ];
    const { matrix, u } = rulerScale(a, b, 0.1, { click: 2, lens: 0 });
    expect(matrix[0]).toBeCloseTo(1e-4, 15);
    expect(u).toBeCloseTo(Math.SQRT2 * 0.002, 12);
    expect(rulerScale(a, b, 0.1, { click: 2, lens: 0.003, ruler: 0.004 }).u).toBeCloseTo(
      Math.sqrt(2 * 0.002 ** 2 + 0.003 ** 2 + 0.004 ** 2),
      12,
    );
  });

  test('one place clicked twice, or no length, is refused', () => {
    const a = { x: 5, y: 5 };
    expect(() => rulerScale(a, a, 0.1)).toThrow(/two marks of the ruler are 0\.0 pixels apart/);
    expect(() => rulerScale(a, { x: 90, y: 5 }, 0)).toThrow(/length between the marks/);
  });
});

describe('squared paper seen from aside', () => {
  // A pinhole: the plane is turned by 25° about the vertical, 0.5 m away; focal length 1000 pixels.
  const turn = (25 * Math.PI) / 180;
  const seen = (X: number, Y: number) => {
    const depth = 0.5 + X * Math.sin(turn);
    return { x: 400 + (1000 * X * Math.cos(turn)) / depth, y: 300 + (1000 * Y) / depth };
  };
  const corners = [
    [-0.05, -0.02],
    [0.05, -0.02],
    [0.05, 0.02],
    [-0.05, 0.02],
  ] as const;
  const marks = corners.map(([x, y]) => ({ pixel: seen(x, y), place: { x, y } }));

  test('the perspective is undone everywhere on the plane', () => {
    const { matrix } = planeScale(marks);
    for (const [X, Y] of [
      [0, 0],
      [0.03, 0.011],
      [-0.08, 0.03],
    ]) {
      const at = onPlane(matrix, seen(X, Y));
      expect(at.x).toBeCloseTo(X, 10);
      expect(at.y).toBeCloseTo(Y, 10);
    }
  });

  test('more marks than four: least squares, and a smaller u', () => {
    const more = [...marks, { pixel: seen(0, 0.01), place: { x: 0, y: 0.01 } }];
    expect(onPlane(planeScale(more).matrix, seen(0.02, 0)).x).toBeCloseTo(0.02, 10);
    const four = planeScale(marks, { click: 1, lens: 0 }).u;
    // Both ends of about 180 pixels are told by two clicks each: 1/180.
    expect(four).toBeGreaterThan(0.8 / 181);
    expect(four).toBeLessThan(1.3 / 181);
  });

  test('three marks, or four on a line, are refused', () => {
    expect(() => planeScale(marks.slice(0, 3))).toThrow(/3 marks do not fix the perspective/);
    const line = [0, 1, 2, 3].map((k) => ({ pixel: { x: k, y: k }, place: { x: k, y: k } }));
    expect(() => planeScale(line)).toThrow(/no three of the four may lie on one line/);
  });
});
