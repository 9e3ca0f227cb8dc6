// Problems of Moré, Garbow and Hillstrom, "Testing unconstrained optimization software", ACM Trans. Math. Softw. 7, 17 (1981): models,
// data, starts and least sums of squares, all from memory.
import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';

type Model = (i: number, p: readonly number[]) => number;

interface Problem {
  readonly y: readonly number[];
  readonly model: Model;
  readonly start: readonly number[];
  /** Least sum of squares; 0: the curve goes through all points. */
  readonly least: number;
  readonly at?: readonly number[];
}

const { exp, sin, cos, atan, PI } = Math;
const upTo = (count: number) => Array.from({ length: count }, (_, i) => i + 1);
const zeros = (count: number) => upTo(count).map(() => 0);
/** Equations f = 0 in the place of points. */
const system =
  (...f: ((p: readonly number[]) => number)[]): Model =>
  (i, p) =>
    f[i - 1](p);

const bardTimes = (i: number) => [i, 16 - i, Math.min(i, 16 - i)];
const kowalik = [4, 2, 1, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625];

const problems: Record<string, Problem> = {
  Rosenbrock: {
    y: zeros(2),
    model: system(
      ([a, b]) => 10 * (b - a * a),
      ([a]) => 1 - a,
    ),
    ...{ start: [-1.2, 1], least: 0, at: [1, 1] },
  },
  'Freudenstein and Roth, from beyond the local minimum': {
    y: zeros(2),
    model: system(
      ([a, b]) => -13 + a + ((5 - b) * b - 2) * b,
      ([a, b]) => -29 + a + ((b + 1) * b - 14) * b,
    ),
    ...{ start: [6, 5], least: 0, at: [5, 4] },
  },
  'Powell, badly scaled': {
    y: zeros(2),
    model: system(
      ([a, b]) => 1e4 * a * b - 1,
      ([a, b]) => exp(-a) + exp(-b) - 1.0001,
    ),
    ...{ start: [0, 1], least: 0, at: [1.098159e-5, 9.106147] },
  },
  'Brown, badly scaled': {
    y: zeros(3),
    model: system(
      ([a]) => a - 1e6,
      ([, b]) => b - 2e-6,
      ([a, b]) => a * b - 2,
    ),
    ...{ start: [1, 1], least: 0, at: [1e6, 2e-6] },
  },
  Beale: {
    y: [1.5, 2.25, 2.625],
    model: (i, [a, b]) => a * (1 - b ** i),
    ...{ start: [1, 1], least: 0, at: [3, 0.5] },
  },
  'helical valley': {
    y: zeros(3),
    model: system(
      ([a, b, c]) => 10 * (c - (10 * (atan(b / a) + (a < 0 ? PI : 0))) / (2 * PI)),
      ([a, b]) => 10 * (Math.hypot(a, b) - 1),
      ([, , c]) => c,
    ),
    ...{ start: [-1, 0, 0], least: 0, at: [1, 0, 0] },
  },
  Bard: {
    y: [0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39, 0.37, 0.58, 0.73, 0.96, 1.34, 2.1, 4.39],
    model: (i, [a, b, c]) => {
      const [u, v, w] = bardTimes(i);
      return a + u / (v * b + w * c);
    },
    ...{ start: [1, 1, 1], least: 8.21487e-3 },
  },
  Gaussian: {
    y: [
      9e-4, 0.0044, 0.0175, 0.054, 0.1295, 0.242, 0.3521, 0.3989, 0.3521, 0.242, 0.1295, 0.054,
      0.0175, 0.0044, 9e-4,
    ],
    model: (i, [a, b, c]) => a * exp((-b * ((8 - i) / 2 - c) ** 2) / 2),
    ...{ start: [0.4, 1, 0], least: 1.12793e-8 },
  },
  Meyer: {
    y: [
      34780, 28610, 23650, 19630, 16370, 13720, 11540, 9744, 8261, 7030, 6005, 5147, 4427, 3820,
      3307, 2872,
    ],
    model: (i, [a, b, c]) => a * exp(b / (45 + 5 * i + c)),
    ...{ start: [0.02, 4000, 250], least: 87.9458 },
  },
  'Box in three dimensions': {
    y: zeros(10),
    model: (i, [a, b, c]) => exp(-0.1 * i * a) - exp(-0.1 * i * b) - c * (exp(-0.1 * i) - exp(-i)),
    ...{ start: [0, 10, 20], least: 0, at: [1, 10, 1] },
  },
  Wood: {
    y: zeros(6),
    model: system(
      ([a, b]) => 10 * (b - a * a),
      ([a]) => 1 - a,
      ([, , c, d]) => Math.sqrt(90) * (d - c * c),
      ([, , c]) => 1 - c,
      ([, b, , d]) => Math.sqrt(10) * (b + d - 2),
      ([, b, , d]) => (b - d) / Math.sqrt(10),
    ),
    ...{ start: [-3, -1, -3, -1], least: 0, at: [1, 1, 1, 1] },
  },
  'Kowalik and Osborne': {
    y: [0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246],
    model: (i, [a, b, c, d]) => {
      const u = kowalik[i - 1];
      return (a * (u * u + u * b)) / (u * u + u * c + d);
    },
    ...{ start: [0.25, 0.39, 0.415, 0.39], least: 3.07505e-4 },
  },
  'Brown and Dennis': {
    y: zeros(20),
    model: (i, [a, b, c, d]) => {
      const t = i / 5;
      return (a + t * b - exp(t)) ** 2 + (c + d * sin(t) - cos(t)) ** 2;
    },
    ...{ start: [25, 5, -5, -1], least: 85822.2 },
  },
  'Osborne, five parameters': {
    y: [
      844, 908, 932, 936, 925, 908, 881, 850, 818, 784, 751, 718, 685, 658, 628, 603, 580, 558, 538,
      522, 506, 490, 478, 467, 457, 448, 438, 431, 424, 420, 414, 411, 406,
    ].map((value) => value / 1000),
    model: (i, [a, b, c, d, e]) => a + b * exp(-10 * (i - 1) * d) + c * exp(-10 * (i - 1) * e),
    ...{ start: [0.5, 1.5, -1, 0.01, 0.02], least: 5.46489e-5 },
  },
};

describe.each(Object.entries(problems))('%s', (_, { y, model, start, least, at }) => {
  const x = upTo(y.length);
  const sumOf = (p: readonly number[]) =>
    x.reduce((sum, i) => sum + (y[i - 1] - model(i, p)) ** 2, 0);
  const values = (fit: ReturnType<typeof fitCurve>) => fit.parameters.map(({ value }) => value);
  const digits = (found: number, truth: number) => Math.abs(found / truth - 1);

  test.each([1, 1e-9])('the least sum of squares is found, in units of %d', (unit) => {
    const scaled: Model = (i, p) =>
      model(
        i,
        p.map((value) => value / unit),
      );
    const fit = fitCurve(
      scaled,
      { x, y },
      start.map((value) => value * unit),
    );
    expect(fit.converged).toBe(true);
    if (least > 0) expect(digits(fit.chiSquare, least)).toBeLessThan(5e-6);
    else expect(fit.chiSquare).toBeLessThan(1e-20);
    for (const [j, truth] of (at ?? []).entries())
      expect(Math.abs(fit.parameters[j].value / unit - truth)).toBeLessThan(
        (least > 0 ? 2e-4 : 1e-6) * (Math.abs(truth) || 1),
      );
    expect(fit.iterations).toBeLessThan(300);
  });

  test('what is said of it holds: residuals, their squares, and no way down', () => {
    const fit = fitCurve(model, { x, y }, start);
    const best = values(fit);
    for (const i of x) expect(fit.residuals[i - 1]).toBeCloseTo(y[i - 1] - model(i, best), 9);
    expect(Math.abs(fit.chiSquare - sumOf(best))).toBeLessThan(1e-9 * (1 + fit.chiSquare));
    for (const [j, { value, u }] of fit.parameters.entries())
      for (const sign of [-1, 1]) {
        const beside = best.with(j, value + sign * (Number.isFinite(u) && u > 0 ? u / 50 : 1e-3));
        expect(sumOf(beside)).toBeGreaterThanOrEqual(fit.chiSquare * (1 - 1e-9));
      }
  });
});

test('Freudenstein and Roth from the usual start end at the local minimum that is published', () => {
  const model = system(
    ([a, b]) => -13 + a + ((5 - b) * b - 2) * b,
    ([a, b]) => -29 + a + ((b + 1) * b - 14) * b,
  );
  const { parameters, chiSquare } = fitCurve(model, { x: [1, 2], y: [0, 0] }, [0.5, -2]);
  expect(Math.abs(chiSquare / 48.9842 - 1)).toBeLessThan(2e-6);
  expect(parameters[0].value).toBeCloseTo(11.4128, 3);
  expect(parameters[1].value).toBeCloseTo(-0.8968, 4);
});

test('Jennrich and Sampson: two rates that are one at the least sum of squares are not told from each other', () => {
  const y = upTo(10).map((i) => 2 + 2 * i);
  const model: Model = (i, [a, b]) => exp(i * a) + exp(i * b);
  const { parameters, chiSquare, converged } = fitCurve(model, { x: upTo(10), y }, [0.3, 0.4]);
  expect(Math.abs(chiSquare / 124.362 - 1)).toBeLessThan(5e-6);
  for (const { value } of parameters) expect(value).toBeCloseTo(0.2578, 3);
  expect(converged).toBe(false);
});

test('Powell, singular: parameters that the points do not determine at the minimum are not said to be', () => {
  const model = system(
    ([a, b]) => a + 10 * b,
    ([, , c, d]) => Math.sqrt(5) * (c - d),
    ([, b, c]) => (b - 2 * c) ** 2,
    ([a, , , d]) => Math.sqrt(10) * (a - d) ** 2,
  );
  const fit = fitCurve(model, { x: upTo(4), y: zeros(4) }, [3, -1, 0, 1]);
  expect(fit.chiSquare).toBeLessThan(1e-12);
  for (const { value } of fit.parameters) expect(Math.abs(value)).toBeLessThan(1e-3);
});
