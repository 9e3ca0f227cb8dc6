import { describe, expect, test } from 'vitest';
import type { Bound } from '../../kernel-lib/fitting/derivatives';
import {
  type Damping,
  descend,
  type LeastSquares,
} from '../../kernel-lib/fitting/levenberg-marquardt';

/** One residual: f(p) against `observed`, with its slope by formula. */
const single = (
  f: (p: number) => number,
  slope: (p: number) => number,
  observed: number,
  bound?: Bound,
): LeastSquares => ({
  observed: Float64Array.of(observed),
  bounds: [bound],
  model: ([p], out) => out.set([f(p)]),
  both: ([p], values, columns) => {
    values.set([f(p)]);
    columns[0].set([slope(p)]);
  },
});

/** A plane y = a x₁ + b x₂ through the columns x₁, x₂. */
const plane = (
  x: readonly (readonly number[])[],
  observed: readonly number[],
  bounds: readonly (Bound | undefined)[] = x.map(() => undefined),
): LeastSquares => {
  const model: LeastSquares['model'] = (p, out) => {
    for (let i = 0; i < out.length; i++)
      out[i] = x.reduce((sum, column, j) => sum + p[j] * column[i], 0);
  };
  return {
    observed: Float64Array.from(observed),
    bounds,
    model,
    both: (p, values, columns) => {
      model(p, values);
      for (const [j, column] of columns.entries()) column.set(x[j]);
    },
  };
};

const damped = (start: number, more: Partial<Damping> = {}): Damping => ({
  start,
  scaling: 'present',
  curved: false,
  ...more,
});
const atMost = (maxIterations: number) => ({ maxIterations, tolerance: 1e-9 });

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

/**
 * The point of a circle nearest to one at R radii: at p = 0, where χ² = (R − 1)² radii² and a Gauss–Newton step takes
 * p to (1 − R) p.
 */
const circle = (R: number, radius = 1): LeastSquares => ({
  observed: Float64Array.of(R * radius, 0),
  bounds: [undefined],
  model: ([p], out) => out.set([radius * Math.cos(p), radius * Math.sin(p)]),
  both: ([p], values, columns) => {
    values.set([radius * Math.cos(p), radius * Math.sin(p)]);
    columns[0].set([-radius * Math.sin(p), radius * Math.cos(p)]);
  },
});
/** A mean of ±1: best at 0, χ² = n there, and what a step gains is n p². */
const mean = (n: number) =>
  plane(
    [Array.from({ length: n }, () => 1)],
    Array.from({ length: n }, (_, i) => (i % 2 === 0 ? 1 : -1)),
  );
const heavy = damped(1e6);

describe('near the minimum', () => {
  test('steps are not damped once they gain less than a ten-thousandth of χ²', () => {
    // n p² against n (1 + p²)/10⁴.
    expect(descend(mean(2), [0.00999], heavy, atMost(1)).parameters[0]).toBeCloseTo(0, 14);
    const far = descend(mean(2), [0.01001], damped(1), atMost(1));
    expect(far.parameters[0]).toBeCloseTo(0.01001 / 2, 12);
  });

  test.each([2, 4, 10])(
    'a step shorter than the tolerance in standard uncertainties is the last: %i points',
    (n) => {
      // u of the mean is √(χ²/(n − 1)/n) = 1/√(n − 1).
      const step = 0.005 * Math.sqrt(n - 1);
      const within = (tolerance: number) =>
        descend(mean(n), [0.005], heavy, { maxIterations: 100, tolerance }).iterations;
      expect(within(step * 1.001)).toBe(1);
      expect(within(step * 0.999)).toBe(2);
    },
  );

  test('where steps shrink by halves, the next one counts', () => {
    // R = 3/2: steps 1.5 p with p = 0.003 (−½)^k; u = ½.
    const within = (tolerance: number) =>
      descend(circle(1.5), [0.003], heavy, { maxIterations: 100, tolerance });
    for (const last of [2, 3, 4, 7]) {
      const next = (1.5 * 0.003 * 0.5 ** last) / 0.5;
      const run = within(next * 1.01);
      expect(run).toMatchObject({ converged: true, iterations: last });
      expect(run.parameters[0] / 0.003 / (-0.5) ** last).toBeCloseTo(1, 4);
      expect(within(next * 0.99).iterations).toBe(last + 1);
    }
  });

  test('no more iterations than asked for', () => {
    const run = descend(circle(1.5), [0.003], heavy, atMost(3));
    expect(run).toMatchObject({ converged: false, iterations: 3 });
    expect(run.parameters[0] / 0.003 / -(0.5 ** 3)).toBeCloseTo(1, 4);
  });
});

describe('a model bent so much that the undamped step leads uphill', () => {
  // R = 3: from p to −2p, and damped with λ = 1 to −p/2.
  test('a damped step is taken instead', () => {
    const { parameters } = descend(circle(3), [0.003], damped(1), atMost(1));
    expect(parameters[0] / 0.003).toBeCloseTo(-0.5, 4);
  });

  test('where the place was near enough already, it is kept', () => {
    // The step is 3 p = 0.009 long and u = 2.
    const run = descend(circle(3), [0.003], damped(1), { maxIterations: 9, tolerance: 0.0046 });
    expect(run).toMatchObject({ parameters: [0.003], converged: true, iterations: 0 });
  });
});

describe('derivatives by differences', () => {
  test('the precise ones have the last word, in one iteration more', () => {
    const rough = { ...mean(2), both: undefined };
    const run = descend(rough, [0.005], heavy, atMost(100));
    expect(run).toMatchObject({ converged: true, iterations: 3 });
    expect(run.parameters[0]).toBeCloseTo(0, 12);
  });

  test('the triangle at the end is that of the model there', () => {
    const times = [0, 1, 2, 3];
    const decay: LeastSquares = {
      observed: Float64Array.of(1.1, 0.5, 0.3, 0.1),
      bounds: [undefined],
      model: ([p], out) => out.set(times.map((t) => Math.exp(-p * t))),
    };
    const { parameters, triangle } = descend(decay, [0.3], damped(1e-3), atMost(100));
    // R² = Σ (df/dp)².
    const sum = times.reduce((total, t) => total + (t * Math.exp(-parameters[0] * t)) ** 2, 0);
    expect(triangle.rows[0][0] ** 2 / sum).toBeCloseTo(1, 7);
  });
});

describe('data without error', () => {
  test('are met to the last digits, and the run ends there', () => {
    for (let k = 1; k <= 40; k++) {
      const x = [0.3, 1.1, 2.7, k / 9];
      const exact = plane(
        [x],
        x.map((value) => (k * value) / 7),
      );
      const run = descend(exact, [1], damped(1e-3), atMost(100));
      expect(run.converged).toBe(true);
      expect(run.iterations).toBeLessThanOrEqual(12);
      expect(Math.abs(run.parameters[0] / (k / 7) - 1)).toBeLessThan(4e-16);
    }
  });
});
