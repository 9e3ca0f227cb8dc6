import { expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';
import { fitLine } from '../../kernel-lib/fitting/fit-line';
import { measuredParameters } from '../../kernel-lib/fitting/measured-parameters';

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
