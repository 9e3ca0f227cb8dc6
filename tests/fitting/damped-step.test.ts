import { describe, expect, test } from 'vitest';
import { descend } from '../../kernel-lib/fitting/levenberg-marquardt';
import { atMost, damped, plane, single } from './small-problems';

describe('a damped step', () => {
  // y = 3x without error: every step leaves the share λ/(1 + λ) of the way.
  const line = plane([[1, 2]], [3, 6]);

  test('(JᵀJ)(1 + λ) δ = Jᵀr, and a tenth of the damping after a step as good as promised', () => {
    let left = 3;
    for (let n = 1; n <= 4; n++) {
      const lambda = 0.1 ** (n - 1);
      left *= lambda / (1 + lambda);
      const run = descend(line, [0], damped(1), atMost(n));
      expect(run.parameters[0]).toBeCloseTo(3 - left, 12);
      expect(run.chiSquare).toBeCloseTo(5 * left * left, 12);
      expect([...run.residuals]).toEqual([expect.closeTo(left, 12), expect.closeTo(2 * left, 12)]);
      expect(run).toMatchObject({ converged: false, iterations: n });
    }
    expect(descend(line, [0], damped(1), atMost(0))).toMatchObject({
      parameters: [0],
      iterations: 0,
      converged: false,
    });
  });

  test('goes on until the line is met', () => {
    const run = descend(line, [0], damped(1), atMost(100));
    expect(run.parameters[0]).toBeCloseTo(3, 14);
    expect(run.converged).toBe(true);
    expect(run.iterations).toBeLessThan(15);
  });

  /** (JᵀJ + λ diag JᵀJ)⁻¹ Jᵀr for two columns, by Cramer's rule. */
  function marquardt(
    one: readonly number[],
    two: readonly number[],
    r: readonly number[],
    lambda: number,
  ) {
    const times = (a: readonly number[], b: readonly number[]) =>
      a.reduce((sum, value, i) => sum + value * b[i], 0);
    const [aa, ab, bb] = [
      times(one, one) * (1 + lambda),
      times(one, two),
      times(two, two) * (1 + lambda),
    ];
    const [ra, rb] = [times(one, r), times(two, r)];
    const determinant = aa * bb - ab * ab;
    return [(ra * bb - rb * ab) / determinant, (aa * rb - ab * ra) / determinant] as const;
  }
  const [one, two, y] = [
    [1, 1, 1],
    [0, 20, 50],
    [1, 30, 40],
  ];

  test('two parameters are damped each by the size of its own column', () => {
    const [a, b] = marquardt(one, two, y, 0.5);
    const first = descend(plane([one, two], y), [0, 0], damped(0.5), atMost(1)).parameters;
    expect(first).toEqual([expect.closeTo(a, 12), expect.closeTo(b, 12)]);
    // A plane keeps what it promises, so the next damping is a tenth.
    const r = y.map((value, i) => value - a * one[i] - b * two[i]);
    const [da, db] = marquardt(one, two, r, 0.05);
    const second = descend(plane([one, two], y), [0, 0], damped(0.5), atMost(2)).parameters;
    expect(second).toEqual([expect.closeTo(a + da, 12), expect.closeTo(b + db, 12)]);
  });

  test('one that does nothing stays, and does not hinder the other', () => {
    const idle = plane(
      [
        [0, 0],
        [1, 2],
      ],
      [3, 6],
    );
    const { parameters } = descend(idle, [7, 0], damped(1), atMost(1));
    expect(parameters).toEqual([7, expect.closeTo(1.5, 12)]);
  });

  test('cut off by a bound it is judged by what that promises', () => {
    // Best at (3, 5); b may go to 1 only. Orthogonal columns: each goes its own way.
    const box = plane(
      [
        [1, 2, 0],
        [0, 0, 1],
      ],
      [3, 6, 5],
      [undefined, [0, 1]],
    );
    const first = descend(box, [0, 0], damped(1), atMost(1)).parameters;
    expect(first).toEqual([expect.closeTo(1.5, 12), 1]);
    const second = descend(box, [0, 0], damped(1), atMost(2)).parameters;
    expect(second).toEqual([expect.closeTo(1.5 + 1.5 / 1.1, 12), 1]);
    const end = descend(box, [0, 0], damped(1), atMost(50));
    expect(end.parameters).toEqual([expect.closeTo(3, 12), 1]);
    expect(end.converged).toBe(true);
    expect(end.chiSquare).toBeCloseTo(16, 12);
  });
});

describe('steps bent along the curvature', () => {
  const parabola = single(
    (p) => p * p,
    (p) => 2 * p,
    0,
  );
  // From 1: step v = −½/(1 + λ), bend −4v²/(4 + 4λ), of which half is added.
  const bent = (lambda: number) => {
    const v = -0.5 / (1 + lambda);
    return 1 + v - (v * v) / (1 + lambda) / 2;
  };
  const from1 = (start: number, curved: boolean) =>
    descend(parabola, [1], damped(start, { curved }), atMost(1)).parameters[0];

  test('only where asked for', () => {
    expect(from1(1, true)).toBeCloseTo(bent(1), 12);
    expect(from1(1, false)).toBeCloseTo(0.75, 12);
  });

  test('a bend too large to be believed asks for more damping', () => {
    // Twice the bend is 2v²/(1 + λ) in place of v: more than ¾ of it up to λ = 0.1547.
    expect(from1(0.16, true)).toBeCloseTo(bent(0.16), 12);
    expect(from1(0.15, true)).toBeCloseTo(bent(0.3), 12);
  });
});
