import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';
import { seeded } from '../../kernel-lib/numerics/random';

const peak = (x: number, [height, centre, width, floor]: readonly number[]) =>
  floor + height * Math.exp(-0.5 * ((x - centre) / width) ** 2);

function measuredPeak(unit: number, seed = 'peak') {
  const random = seeded(seed);
  const x = Array.from({ length: 120 }, (_, i) => (300 + i * 0.5) * unit);
  const y = x.map((v) => peak(v, [10, 330 * unit, 4 * unit, 1]) + 0.1 * random.normal());
  return { x, y };
}

describe('units', () => {
  test('a fit in metres is the fit in micrometres', () => {
    const micro = fitCurve(peak, measuredPeak(1), [8, 325, 6, 0]);
    const metre = fitCurve(peak, measuredPeak(1e-6), [8, 325e-6, 6e-6, 0]);
    expect(metre.converged && micro.converged).toBe(true);
    const units = [1, 1e-6, 1e-6, 1];
    for (const [j, unit] of units.entries()) {
      expect(metre.parameters[j].value / unit / micro.parameters[j].value).toBeCloseTo(1, 9);
      expect(metre.parameters[j].u / unit / micro.parameters[j].u).toBeCloseTo(1, 6);
    }
  });

  test('a start of exactly zero moves, in any unit', () => {
    for (const unit of [1, 1e-6, 1e-9]) {
      const x = Array.from({ length: 80 }, (_, i) => (i - 40) * 0.5 * unit);
      const y = x.map((v) => peak(v, [10, 1.5 * unit, 4 * unit, 1]));
      const fit = fitCurve(peak, { x, y }, [8, 0, 6 * unit, 0]);
      expect(fit.converged).toBe(true);
      expect(fit.parameters[1].value / unit).toBeCloseTo(1.5, 9);
    }
  });

  test('a centre far from zero does not spoil the derivative', () => {
    const x = Array.from({ length: 80 }, (_, i) => 1e6 + i * 0.5);
    const y = x.map((v) => peak(v, [10, 1e6 + 17, 4, 1]));
    const fit = fitCurve(peak, { x, y }, [8, 1e6 + 20, 6, 0]);
    expect(fit.parameters[1].value - 1e6).toBeCloseTo(17, 6);
    expect(fit.parameters[2].value).toBeCloseTo(4, 6);
  });
});

describe('uncertainty', () => {
  const line = (x: number, [a, b]: readonly number[]) => a + b * x;
  const x = [1, 2, 3, 4, 5, 6];
  const y = [2.1, 3.9, 6.2, 7.8, 10.1, 12.0];

  test('without u it is scaled by the reduced χ², with u it is absolute', () => {
    const free = fitCurve(line, { x, y }, [0, 1]);
    const given = fitCurve(line, { x, y, u: 0.4 }, [0, 1]);
    const scale = Math.sqrt(free.reducedChiSquare) / 0.4;
    expect(free.parameters[1].u / given.parameters[1].u).toBeCloseTo(scale, 9);
    expect(given.reducedChiSquare).toBeCloseTo(free.reducedChiSquare / 0.16, 9);
    expect(given.covariance[0][1]).toBeLessThan(0);
  });

  test('the true value lies within 1 u in about 68 %, within 2 u in about 95 % of 500 fits', () => {
    let one = 0;
    let two = 0;
    for (let seed = 0; seed < 500; seed++) {
      const { parameters } = fitCurve(peak, measuredPeak(1, `s${seed}`), [9, 331, 4.5, 0.8]);
      const off = Math.abs(parameters[1].value - 330) / parameters[1].u;
      if (off < 1) one++;
      if (off < 2) two++;
    }
    // Three standard deviations of the binomial distribution: 31 and 15 of 500.
    expect(Math.abs(one - 341)).toBeLessThan(32);
    expect(Math.abs(two - 477)).toBeLessThan(15);
  });
});

describe('bounds and derivatives', () => {
  const decay = (x: number, [a, b]: readonly number[]) => a * Math.exp(-b * x);
  const x = Array.from({ length: 40 }, (_, i) => i / 10);
  const y = x.map((v) => decay(v, [3, 0.8]));

  test('a bound that does not bind changes nothing', () => {
    const fit = fitCurve(decay, { x, y }, [1, 0.5], { bounds: [[0, 10], undefined] });
    expect(fit.parameters.map((p) => p.value)).toEqual([
      expect.closeTo(3, 9),
      expect.closeTo(0.8, 9),
    ]);
  });

  test('a bound that binds is kept, the other parameter finds its best there', () => {
    const fit = fitCurve(decay, { x, y }, [1, 0.5], {
      bounds: [
        [0, 2.5],
        [0, 5],
      ],
    });
    expect(fit.parameters[0].value).toBe(2.5);
    // One-parameter minimum found by a fine scan, as a check from outside the fit.
    const chi = (b: number) => x.reduce((sum, v, i) => sum + (y[i] - decay(v, [2.5, b])) ** 2, 0);
    const best = fit.parameters[1].value;
    expect(chi(best)).toBeLessThan(Math.min(chi(best + 1e-4), chi(best - 1e-4)));
  });

  test('the model is never called outside the bounds', () => {
    const root = (v: number, [a, b]: readonly number[]) => {
      expect(b).toBeGreaterThanOrEqual(0);
      return a * Math.sqrt(b + v);
    };
    const z = x.map((v) => 2 * Math.sqrt(v));
    const fit = fitCurve(root, { x, y: z }, [1, 1], { bounds: [undefined, [0, 10]] });
    expect(fit.parameters[1].value).toBeLessThan(1e-6);
    expect(fit.parameters[0].value).toBeCloseTo(2, 5);
  });

  test('derivatives by formula lead to the same minimum', () => {
    const by = fitCurve(decay, { x, y }, [1, 0.5], {
      derivatives: (v, [a, b], out) => {
        out[0] = Math.exp(-b * v);
        out[1] = -a * v * Math.exp(-b * v);
      },
    });
    expect(by.parameters[1].value).toBeCloseTo(0.8, 12);
  });

  test('x may be anything the model takes', () => {
    const pairs = x.map((v) => [v, v * v] as const);
    const z = pairs.map(([v, w]) => 1 + 2 * v + 3 * w);
    const fit = fitCurve(([v, w], [a, b, c]) => a + b * v + c * w, { x: pairs, y: z }, [0, 0, 0]);
    expect(fit.parameters[2].value).toBeCloseTo(3, 9);
  });
});

describe('what cannot be fitted', () => {
  const line = (x: number, [a, b]: readonly number[]) => a + b * x;
  test.each([
    [
      'fewer points than parameters',
      { x: [1], y: [1] },
      [0, 1],
      /1 points cannot fix 2 parameters/,
    ],
    [
      'NaN in y',
      { x: [1, 2, 3], y: [1, Number.NaN, 3] },
      [0, 1],
      /y\[1\] must be finite, but NaN was given/,
    ],
    ['infinite x', { x: [1, Infinity, 3], y: [1, 2, 3] }, [0, 1], /x\[1\] must be finite/],
    [
      'x and y of unequal length',
      { x: [1, 2], y: [1, 2, 3] },
      [0, 1],
      /x has 2 values and y has 3/,
    ],
    [
      'weights of the wrong length',
      { x: [1, 2, 3], y: [1, 2, 3], u: [1, 1] },
      [0, 1],
      /u has 2 values for 3 points/,
    ],
    [
      'u of zero',
      { x: [1, 2, 3], y: [1, 2, 3], u: [1, 0, 1] },
      [0, 1],
      /u\[1\] must be greater than 0/,
    ],
    [
      'NaN in the start',
      { x: [1, 2, 3], y: [1, 2, 3] },
      [0, Number.NaN],
      /start\[1\] must be finite/,
    ],
  ])('%s', (_, data, start, sentence) => {
    expect(() => fitCurve(line, data, start)).toThrow(sentence);
  });

  test('a start outside its bounds, bounds upside down, bounds of the wrong length', () => {
    const data = { x: [1, 2, 3], y: [1, 2, 3] };
    expect(() => fitCurve(line, data, [0, 9], { bounds: [undefined, [0, 5]] })).toThrow(/outside/);
    expect(() => fitCurve(line, data, [0, 1], { bounds: [[1, 0], undefined] })).toThrow(
      /lower one/,
    );
    expect(() => fitCurve(line, data, [0, 1], { bounds: [[0, 1]] })).toThrow(/1 bounds for 2/);
  });

  test('a model that gives no number at the start', () => {
    const log = (x: number, [a]: readonly number[]) => Math.log(a * x);
    expect(() => fitCurve(log, { x: [1, 2], y: [0, 1] }, [-1])).toThrow(/gives NaN at x = 1/);
  });
});

describe('what is said about a fit', () => {
  const decay = (v: number, [a, b]: readonly number[]) => a * Math.exp(-b * v);
  const x = [0, 1, 2, 3, 4];
  const y = [8.1, 3.9, 2.1, 0.9, 0.55];

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

  test('where none arrives, what fits best of all is handed back, and its χ² is its own', () => {
    const y = times.map((t) => 2 * Math.sin(3 * t));
    for (const start of [
      [2.1, 1.7],
      [1.2, 0.5],
      [4, 2],
      [0.3, 21],
    ]) {
      const fit = fitCurve(wave, { x: times, y }, start, { maxIterations: 4 });
      const sum = (p: readonly number[]) =>
        times.reduce((total, t, i) => total + (y[i] - wave(t, p)) ** 2, 0);
      const found = fit.parameters.map(({ value }) => value);
      expect(fit.converged).toBe(false);
      expect(fit.chiSquare).toBeCloseTo(sum(found), 9);
      // Better than the best amplitude with the frequency of the start.
      const level = times.reduce((total, t, i) => total + y[i] * Math.sin(start[1] * t), 0);
      const size = times.reduce((total, t) => total + Math.sin(start[1] * t) ** 2, 0);
      expect(fit.chiSquare).toBeLessThan(sum([level / size, start[1]]));
    }
  });
});
