import { describe, expect, test } from 'vitest';
import { descend, type LeastSquares } from '../../kernel-lib/fitting/levenberg-marquardt';

import { atMost, damped, single } from './small-problems';

describe('how the damping follows what steps are worth', () => {
  /** χ² before and after, and what the straight model promised, for a step of a single residual r with slope J. */
  const worth = (r: number, slope: number, step: number, next: number) =>
    (r * r - next * next) / (r * r - (r - slope * step) ** 2);
  /** Nielsen's 1 − (2ρ − 1)³. */
  const factor = (ratio: number) => 1 - (2 * ratio - 1) ** 3;

  test.each<[string, number, LeastSquares, number, (p: number) => number, (p: number) => number]>([
    [
      'less than promised',
      0.25,
      single(
        (p) => p ** 3,
        (p) => 3 * p * p,
        0,
      ),
      1,
      (p) => p ** 3,
      (p) => 3 * p * p,
    ],
    [
      'much less',
      1e-3,
      single(Math.atan, (p) => 1 / (1 + p * p), 0),
      1.3,
      Math.atan,
      (p) => 1 / (1 + p * p),
    ],
  ])('%s: times 1 − (2ρ − 1)³', (_name, lambda, problem, start, f, slope) => {
    const step = -f(start) / slope(start) / (1 + lambda);
    const p = start + step;
    expect(descend(problem, [start], damped(lambda), atMost(1)).parameters[0]).toBeCloseTo(p, 12);
    const ratio = worth(-f(start), slope(start), step, -f(p));
    expect(ratio).toBeGreaterThan(0.1);
    expect(ratio).toBeLessThan(0.9);
    const next = p - f(p) / slope(p) / (1 + lambda * factor(ratio));
    expect(descend(problem, [start], damped(lambda), atMost(2)).parameters[0]).toBeCloseTo(
      next,
      12,
    );
  });

  test('after steps that lead uphill: times 2, 4, 8, 16, 32', () => {
    const problem = single(Math.atan, (p) => 1 / (1 + p * p), 0);
    // From 3 the full step goes to −9.5; only the sixth, with λ = 2¹⁵/1000, leads downhill.
    const { parameters } = descend(problem, [3], damped(1e-3), atMost(1));
    expect(parameters[0]).toBeCloseTo(3 - (Math.atan(3) * 10) / (1 + 32.768), 12);
  });

  // f = p up to ¼, beyond it nearly 0: long steps gain two millionths of what they promise.
  const shelf = single(
    (p) => (p > 0.25 ? 1e-6 : p),
    () => 1,
    1,
  );

  test('a step that gains next to nothing of what it promises is not taken', () => {
    // λ = 1 and 2 reach ½ and ⅓; 8 reaches 1/9.
    const { parameters } = descend(shelf, [0], damped(1), atMost(1));
    expect(parameters[0]).toBeCloseTo(1 / 9, 12);
  });

  test('after a step that is taken the growth begins with 2 again', () => {
    // λ = 0.8, 1.6 and then 6.4: from 1/9 to 0.605, 0.453 and 0.231.
    const { parameters } = descend(shelf, [0], damped(1), atMost(2));
    expect(parameters[0]).toBeCloseTo(1 / 9 + 8 / 9 / 7.4, 12);
  });

  test('a slope that points uphill ends the run where it stands', () => {
    const wrong = single(
      (p) => p,
      () => -1,
      1,
    );
    const run = descend(wrong, [0], damped(1e-3), atMost(100));
    expect(run).toMatchObject({ parameters: [0], converged: false });
    expect(run.iterations).toBeLessThan(3);
  });

  test('no number is worse than any', () => {
    const edge = single(
      (p) => (p > 0.4 ? Number.NaN : p),
      () => 1,
      1,
    );
    expect(descend(edge, [0], damped(1), atMost(1)).parameters[0]).toBeCloseTo(1 / 3, 12);
  });

  test('the largest column so far or the present one damps', () => {
    const root = single(Math.sqrt, (p) => 0.5 / Math.sqrt(p), 3);
    // From 1: J = ½, r = 2, λ = 1: to 3. There J = 1/√12 and r = 3 − √3.
    const first = descend(root, [1], damped(1), atMost(1)).parameters[0];
    expect(first).toBeCloseTo(3, 12);
    const ratio = worth(2, 0.5, 2, 3 - Math.sqrt(3));
    const lambda = ratio > 0.9 ? 0.1 : factor(ratio);
    const slope = 1 / Math.sqrt(12);
    for (const [scaling, column] of [
      ['present', slope],
      ['largest', 0.5],
    ] as const) {
      const second = descend(root, [1], damped(1, { scaling }), atMost(2)).parameters[0];
      const step = (slope * (3 - Math.sqrt(3))) / (slope ** 2 + lambda * column ** 2);
      expect(second).toBeCloseTo(3 + step, 12);
    }
  });
});
