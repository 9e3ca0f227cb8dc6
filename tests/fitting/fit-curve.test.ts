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

  test('as many points as parameters: exact, u unknown without given u', () => {
    const fit = fitCurve(line, { x: [1, 2], y: [3, 5] }, [0, 1]);
    expect(fit.parameters[1].value).toBeCloseTo(2, 12);
    expect(fit.parameters[1].u).toBe(Infinity);
    expect(fitCurve(line, { x: [1, 2], y: [3, 5], u: 0.1 }, [0, 1]).parameters[1].u).toBeCloseTo(
      0.1414,
      3,
    );
  });

  test('two parameters that do the same are reported, not guessed', () => {
    const fit = fitCurve((v, [a, b, c]) => a + b + c * v, { x, y }, [0, 0, 1]);
    expect(fit.converged).toBe(false);
    expect(fit.message).toContain('do not determine every parameter');
    expect(fit.parameters[0].u).toBe(Infinity);
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
