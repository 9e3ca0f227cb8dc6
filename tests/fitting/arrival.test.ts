import { describe, expect, test } from 'vitest';
import { descend, type LeastSquares } from '../../kernel-lib/fitting/levenberg-marquardt';

import { atMost, damped, plane, single } from './small-problems';

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

  test('a straight model has arrived when the step after the first is nothing', () => {
    const run = descend(mean(2), [0.005], heavy, atMost(100));
    expect(run).toMatchObject({ converged: true, iterations: 2 });
    expect(run.parameters[0]).toBeCloseTo(0, 14);
    expect(run.chiSquare).toBeCloseTo(2, 12);
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

  test('steps that do not shrink any more end the run when they are next to nothing', () => {
    // R = 1.999: each is 0.999 of the one before. With p = 10⁻⁷ they gain 4 × 10⁻¹⁴ of χ².
    for (const radius of [1e-3, 1, 1e3]) {
      const run = (p: number) =>
        descend(circle(1.999, radius), [p], heavy, { maxIterations: 30, tolerance: 0 });
      expect(run(1e-7)).toMatchObject({ converged: true, iterations: 5 });
      expect(run(1e-5)).toMatchObject({ converged: false, iterations: 30 });
    }
  });
});

describe('a model bent so much that the undamped step leads uphill', () => {
  // R = 3: from p to −2p, and damped with λ = 1 to −p/2.
  test('a damped step is taken instead', () => {
    const { parameters } = descend(circle(3), [0.003], damped(1), atMost(1));
    expect(parameters[0] / 0.003).toBeCloseTo(-0.5, 4);
  });

  test('the undamped one is tried again only where it gains a hundredth', () => {
    let calls = 0;
    const { both, ...rest } = circle(3);
    const counted: LeastSquares = {
      ...rest,
      both: (...args) => {
        calls++;
        both?.(...args);
      },
    };
    descend(counted, [0.003], damped(1), atMost(3));
    // The start, the undamped step in vain, three damped ones (0.003 → −0.0015 → 0.0007 → …), and the triangle at the end.
    expect(calls).toBe(6);
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

  test('steps near enough with rough derivatives are looked at again with precise ones', () => {
    const rough = { ...mean(2), both: undefined };
    const wide = { maxIterations: 100, tolerance: 0.1 };
    expect(descend(rough, [0.005], heavy, wide).iterations).toBe(2);
    expect(descend(mean(2), [0.005], heavy, wide).iterations).toBe(1);
  });

  test.each([
    // A gain of less than 10⁻¹³ χ² asks for them at once, else two steps that do not shrink do.
    [1e-7, 1 + 5],
    [3e-7, 3 + 5],
  ])('steps from %d that do not shrink are given five with precise ones', (p, iterations) => {
    for (const radius of [1e-3, 1, 1e3]) {
      const rough = { ...circle(1.999, radius), both: undefined };
      const run = descend(rough, [p], heavy, { maxIterations: 30, tolerance: 0 });
      expect(run).toMatchObject({ converged: true, iterations });
    }
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

  test('it is that of the model there when the run is stopped on its way, too', () => {
    const root = single(Math.sqrt, (p) => 0.5 / Math.sqrt(p), 3);
    // With λ = 1 from 1 to 3.
    const { triangle } = descend(root, [1], damped(1), atMost(1));
    expect(triangle.rows[0][0] ** 2).toBeCloseTo(1 / 12, 12);
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
