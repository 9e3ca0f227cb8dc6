import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';
import { fitLine } from '../../kernel-lib/fitting/fit-line';
import { seeded } from '../../kernel-lib/numerics/random';

test('points on a line give the line, without scatter', () => {
  const line = fitLine({ x: [0, 1, 2, 3], y: [1, 3, 5, 7] });
  expect(line.slope.value).toBe(2);
  expect(line.intercept.value).toBe(1);
  expect(line.chiSquare).toBe(0);
  expect(line.at(10).value).toBe(21);
});

test('agrees with fitCurve, weighted or not, far from zero and in small units', () => {
  const random = seeded('line');
  const x = Array.from({ length: 20 }, (_, i) => 1e-3 + i * 1e-6);
  const y = x.map((v) => 2e-4 + 0.03 * v + 1e-8 * random.normal());
  const u = x.map((_, i) => 1e-8 * (1 + (i % 3)));
  for (const data of [
    { x, y },
    { x, y, u },
  ]) {
    const line = fitLine(data);
    const curve = fitCurve((v, [a, b]) => a + b * v, data, [0, 1]);
    for (const j of [0, 1]) {
      expect(line.parameters[j].value / curve.parameters[j].value).toBeCloseTo(1, 8);
      expect(line.parameters[j].u / curve.parameters[j].u).toBeCloseTo(1, 8);
    }
    expect(line.covariance[0][1] / curve.covariance[0][1]).toBeCloseTo(1, 8);
    expect(line.reducedChiSquare / curve.reducedChiSquare).toBeCloseTo(1, 8);
  }
});

test('one u for all points is the same as a list of equal ones', () => {
  const points = { x: [1, 2, 3, 4], y: [2, 4.1, 5.9, 8.2] };
  expect(fitLine({ ...points, u: 0.1 }).slope).toEqual(
    fitLine({ ...points, u: [0.1, 0.1, 0.1, 0.1] }).slope,
  );
});

test('the line is best known at the mean of x', () => {
  const line = fitLine({ x: [1, 2, 3], y: [1, 2.2, 2.9], u: 0.1 });
  expect(line.at(2).u).toBeCloseTo(0.1 / Math.sqrt(3), 12);
  expect(line.at(5).u).toBeGreaterThan(line.at(2).u);
});

describe('what cannot be fitted', () => {
  test.each([
    ['one point', { x: [1], y: [1] }, /1 points cannot fix 2 parameters/],
    ['all x equal', { x: [3, 3, 3], y: [1, 2, 3] }, /All x are 3/],
    ['NaN', { x: [1, 2, 3], y: [1, Number.NaN, 3] }, /y\[1\] must be finite/],
    [
      'weights of the wrong length',
      { x: [1, 2, 3], y: [1, 2, 3], u: [1] },
      /u has 1 values for 3 points/,
    ],
  ])('%s', (_, data, sentence) => {
    expect(() => fitLine(data)).toThrow(sentence);
  });
});
