import { expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';
import { fitLine } from '../../kernel-lib/fitting/fit-line';
import { type FitResult, measuredParameters } from '../../kernel-lib/fitting/fit-result';

import { effectiveFreedom } from '../../kernel-lib/quantity/correlated';

const data = { x: [10, 11, 12, 13, 14], y: [20.1, 21.9, 24.2, 25.8, 28.1], u: 0.1 };

test('a point of the line computed from the parameters has the uncertainty of the line there', () => {
  const line = fitLine(data);
  const [intercept, slope] = measuredParameters(line);
  for (const x of [0, 12, 20]) {
    const there = intercept.plus(slope.times(x));
    expect(there.value).toBeCloseTo(line.at(x).value, 9);
    expect(there.u).toBeCloseTo(line.at(x).u, 7);
  }
});

test('parameters that are not determined are refused', () => {
  const fit = fitCurve((x, [a, b]) => (a + b) * x, data, [1, 1]);
  expect(() => measuredParameters(fit)).toThrow(/not determined/);
});

/** A fit of two parameters, written down. */
const written = (more: Partial<FitResult> = {}): FitResult => ({
  parameters: [
    { value: 3, u: 0.2 },
    { value: 5, u: 0.3 },
  ],
  covariance: [
    [0.04, 0.03],
    [0.03, 0.09],
  ],
  absolute: false,
  converged: true,
  message: 'Minimum reached.',
  chiSquare: 4,
  degreesOfFreedom: 7,
  reducedChiSquare: 4 / 7,
  residuals: new Float64Array(9),
  iterations: 2,
  ...more,
});

test('values, uncertainties and what they share: u² of a sum has twice the covariance', () => {
  const [a, b] = measuredParameters(written());
  expect([a.value, b.value]).toEqual([3, 5]);
  expect(a.u).toBeCloseTo(0.2, 12);
  expect(b.u).toBeCloseTo(0.3, 12);
  expect(a.plus(b).u).toBeCloseTo(Math.sqrt(0.04 + 0.09 + 0.06), 12);
  expect(a.minus(b).u).toBeCloseTo(Math.sqrt(0.04 + 0.09 - 0.06), 12);
});

test('degrees of freedom are those of the fit where the scatter of its residuals told u, else infinite', () => {
  const freedom = (more: Parameters<typeof written>[0]) =>
    measuredParameters(written(more)).map((x) => effectiveFreedom(x.times(3)));
  for (const nu of freedom({ degreesOfFreedom: 7 })) expect(nu).toBeCloseTo(7, 9);
  for (const nu of freedom({ degreesOfFreedom: 1 })) expect(nu).toBeCloseTo(1, 9);
  expect(freedom({ degreesOfFreedom: 7, absolute: true })).toEqual([Infinity, Infinity]);
});

test.each([
  ['the first has no value', [Number.NaN, 0.2, 5, 0.3], /^Parameter 0 .* \(u = 0.2\)/],
  ['the second has no uncertainty', [3, 0.2, 5, Infinity], /^Parameter 1 .* \(u = Infinity\)/],
])('refused: %s; the message of the fit says why', (_, [a, ua, b, ub], sentence) => {
  const fit = written({
    parameters: [
      { value: a, u: ua },
      { value: b, u: ub },
    ],
    message: 'Two of them do the same thing.',
  });
  expect(() => measuredParameters(fit)).toThrow(RangeError);
  expect(() => measuredParameters(fit)).toThrow(sentence);
  expect(() => measuredParameters(fit)).toThrow(/: Two of them do the same thing\.$/);
});
