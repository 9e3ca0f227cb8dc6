import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';
import {
  type Damping,
  descend,
  type LeastSquares,
} from '../../kernel-lib/fitting/levenberg-marquardt';

import { solve } from '../../kernel-lib/fitting/solve';

const decay = (x: number, [a, b]: readonly number[]) => a * Math.exp(-b * x);
const x = [0, 1, 2, 3, 4];
const y = [8.1, 3.9, 2.1, 0.9, 0.55];

describe('what is said about a fit', () => {
  test('a minimum: converged, how many iterations, χ² over degrees of freedom', () => {
    const fit = fitCurve(decay, { x, y, u: x.map(() => 0.1) }, [5, 0.5]);
    expect(fit.converged).toBe(true);
    expect(fit.message).toBe(`Minimum reached after ${fit.iterations} iterations.`);
    expect(fit.degreesOfFreedom).toBe(3);
    expect(fit.reducedChiSquare).toBe(fit.chiSquare / 3);
  });

  test('residuals are data less model in the unit of the data, whatever u is', () => {
    const u = [0.1, 0.2, 0.1, 0.4, 0.1];
    const { parameters, residuals, chiSquare } = fitCurve(decay, { x, y, u }, [5, 0.5]);
    const values = parameters.map(({ value }) => value);
    expect(residuals).toHaveLength(x.length);
    for (const [i, residual] of residuals.entries())
      expect(residual).toBeCloseTo(y[i] - decay(x[i], values), 12);
    const sum = u.reduce((total, ui, i) => total + (residuals[i] / ui) ** 2, 0);
    expect(sum).toBeCloseTo(chiSquare, 9);
  });

  test('as many points as parameters: no reduced χ², and uncertainties only where u is given', () => {
    const two = { x: [0, 1], y: [8, 4] };
    const scattered = fitCurve(decay, two, [5, 0.5]);
    expect(scattered.degreesOfFreedom).toBe(0);
    expect(scattered.reducedChiSquare).toBeNaN();
    expect(scattered.parameters[1].value).toBeCloseTo(Math.LN2, 9);
    expect(scattered.parameters.map(({ u }) => u)).toEqual([Infinity, Infinity]);
    const given = fitCurve(decay, { ...two, u: [0.1, 0.1] }, [5, 0.5]);
    // Propagated by hand: u(ln(y0/y1)).
    expect(given.parameters[1].u).toBeCloseTo(Math.hypot(0.1 / 8, 0.1 / 4), 6);
  });

  test('a straight line: u by the textbook, from the scatter or from the u that is given', () => {
    const line = (t: number, [a, b]: readonly number[]) => a + b * t;
    const { parameters, residuals } = fitCurve(line, { x, y }, [0, 0]);
    // u² of the slope is s²/Σ (t − 2)², that of the height at 0 is s² (1/5 + 2²/Σ (t − 2)²).
    const s2 = residuals.reduce((sum, r) => sum + r * r, 0) / 3;
    expect(parameters[1].u).toBeCloseTo(Math.sqrt(s2 / 10), 9);
    expect(parameters[0].u).toBeCloseTo(Math.sqrt(s2 * (1 / 5 + 4 / 10)), 9);
    const given = fitCurve(line, { x, y, u: x.map(() => 0.2) }, [0, 0]).parameters;
    expect(given[1].u).toBeCloseTo(0.2 / Math.sqrt(10), 9);
  });

  test('as many points as parameters, but held off them by a bound: no reduced χ² either', () => {
    const line = (t: number, [a, b]: readonly number[]) => a + b * t;
    const bounds = [[0, 5] as const, [-9, 0] as const];
    const fit = fitCurve(line, { x: [0, 1], y: [8, 4] }, [1, -1], { bounds });
    // From 5 the line goes through 4 at 1; at 0 it misses by 3.
    expect(fit.chiSquare).toBeCloseTo(9, 6);
    expect(fit.reducedChiSquare).toBeNaN();
  });

  test('the first way that arrives is enough: the model is not asked for the others', () => {
    let calls = 0;
    const counted = (t: number, p: readonly number[]) => {
      calls++;
      return decay(t, p);
    };
    expect(fitCurve(counted, { x, y }, [5, 0.5]).converged).toBe(true);
    // Some ten iterations at five calls, each at five points; six ways would be six times as many.
    expect(calls).toBeLessThan(500);
  });

  test('two parameters that do the same thing: not converged, and that is said', () => {
    const fit = fitCurve((t: number, [a, b]) => a * b * t, { x, y: x.map((t) => 3 * t) }, [1, 2]);
    expect(fit.converged).toBe(false);
    expect(fit.message).toMatch(/^The data do not determine every parameter/);
  });

  test('stopped before the minimum: not converged, and that is said', () => {
    const fit = fitCurve(decay, { x, y }, [300, 4], { maxIterations: 1 });
    expect(fit.converged).toBe(false);
    expect(fit.message).toMatch(/^No minimum was reached after \d+ iterations: start nearer/);
  });
});

describe('a bound that binds', () => {
  // The free line would begin below 0; through 0 its slope is Σxy/Σx².
  const line = (t: number, [a, b]: readonly number[]) => a + b * t;
  const data = { x: [1, 2, 3, 4, 5, 6], y: [3, 0, 4, 8, 11, 13] };
  const slope = (3 + 0 + 12 + 32 + 55 + 78) / 91;

  test.each([
    ['first', 0, (t: number, [a, b]: readonly number[]) => line(t, [a, b])],
    ['last', 1, (t: number, [b, a]: readonly number[]) => line(t, [a, b])],
  ])(
    '%s in the list: a minimum, with every point counting for the others',
    (_name, held, model) => {
      const bounds = [0, 1].map((j) => (j === held ? ([0, 10] as const) : undefined));
      const fit = fitCurve(model, data, [1, 1], { bounds });
      expect(fit.parameters[held].value).toBe(0);
      expect(fit.parameters[1 - held].value).toBeCloseTo(slope, 9);
      expect(fit.converged).toBe(true);
    },
  );
});

describe('starts from which a single way of damping goes astray', () => {
  // y = a sin(ωx): the sum of squares has many minima in ω, and a flat valley where a is near 0.
  const times = Array.from({ length: 40 }, (_, i) => i / 10);
  const wave = (t: number, [a, w]: readonly number[]) => a * Math.sin(w * t);

  test('the best of all ways is kept', () => {
    const data = { x: times, y: times.map((t) => 2 * Math.sin(3 * t)) };
    const fit = fitCurve(wave, data, [0.01, 2.6]);
    expect(fit.converged).toBe(true);
    expect(fit.chiSquare).toBeLessThan(1e-12);
    expect(fit.parameters.map(({ value }) => value)).toEqual([
      expect.closeTo(2, 6),
      expect.closeTo(3, 6),
    ]);
  });

  test('a start from which only strong damping holds the frequency', () => {
    const data = { x: times, y: times.map((t) => Math.round(2000 * Math.sin(3 * t)) / 1000) };
    const fit = fitCurve(wave, data, [2.1, 1.7], { maxIterations: 100 });
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0].value).toBeCloseTo(2, 3);
    expect(fit.parameters[1].value).toBeCloseTo(3, 3);
  });

  test('two decays guessed far off: the amplitudes always at their best lead there', () => {
    // From this start itself no way of damping arrives in a thousand steps.
    const two = (t: number, [a, b, c, d]: readonly number[]) =>
      a * Math.exp(-b * t) + c * Math.exp(-d * t);
    const data = {
      x: times,
      // Given to a thousandth.
      y: times.map((t) => Math.round(1000 * two(t, [3, 0.5, 2, 2.5])) / 1000),
    };
    const fit = fitCurve(two, data, [22, 0.28, 0.4, 15]);
    expect(fit.converged).toBe(true);
    for (const [j, truth] of [3, 0.5, 2, 2.5].entries())
      expect(Math.abs(fit.parameters[j].value / truth - 1)).toBeLessThan(2e-3);
  });

  test('where none arrives, what fits best of all of them is handed back', () => {
    const y = times.map((t) => 2 * Math.sin(3 * t));
    const problem: LeastSquares = {
      observed: Float64Array.from(y),
      bounds: [undefined, undefined],
      model: (p, out) => out.set(times.map((t) => wave(t, p))),
    };
    const stopping = { maxIterations: 4, tolerance: 1e-9 };
    const points = { weights: new Float64Array(40).fill(1), absolute: true };
    const ways: Damping[] = [1e-8, 1e-3, 1, 1e3].flatMap((start) => [
      { start, scaling: 'largest' as const, curved: false },
      { start, scaling: 'present' as const, curved: start === 1 },
    ]);
    for (const start of [
      [2.1, 1.7],
      [1.2, 0.5],
      [4, 2],
      [0.3, 21],
    ]) {
      const fit = solve(problem, start, points, stopping);
      const each = ways.map((way) => descend(problem, start, way, stopping));
      const least = Math.min(...each.map(({ chiSquare }) => chiSquare));
      expect(fit.converged).toBe(false);
      expect(fit.chiSquare).toBeLessThanOrEqual(least);
      const sum = times.reduce(
        (total, t, i) =>
          total +
          (y[i] -
            wave(
              t,
              fit.parameters.map(({ value }) => value),
            )) **
            2,
        0,
      );
      expect(fit.chiSquare).toBeCloseTo(sum, 9);
    }
  });
});
