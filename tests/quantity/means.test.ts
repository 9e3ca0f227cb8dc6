import { expect, test } from 'vitest';
import { correlation, effectiveFreedom } from '../../kernel-lib/quantity/correlated';
import { meanOf, meansOf, weightedMean } from '../../kernel-lib/quantity/means';
import { measured } from '../../kernel-lib/quantity/measured';

test('the mean of readings has u = s/√n and n − 1 degrees of freedom', () => {
  const mean = meanOf([1, 2, 3, 4]);
  expect(mean.value).toBe(2.5);
  expect(mean.u).toBeCloseTo(Math.sqrt(5 / 3) / 2, 14);
  expect(effectiveFreedom(mean)).toBeCloseTo(3, 12);
  expect(meanOf([5, 5, 5]).u).toBe(0);
  expect(meanOf(new Float64Array([1, 3]) as never).value).toBe(2);
});

test('readings taken together give correlated means', () => {
  const [a, b, c] = meansOf([
    [1, 2, 3],
    [2, 4, 6],
    [3, 2, 1],
  ]);
  expect(correlation(a, b)).toBeCloseTo(1, 12);
  expect(correlation(a, c)).toBeCloseTo(-1, 12);
  expect(b.minus(a.times(2)).u).toBeCloseTo(0, 14);
});

test('means of separate readings are independent', () => {
  expect(correlation(meanOf([1, 2, 4]), meanOf([1, 2, 4]))).toBe(0);
});

test('the weighted mean weighs by 1/u²', () => {
  const mean = weightedMean([measured(10, 0.1), measured(10.4, 0.2)]);
  expect(mean.value).toBeCloseTo((10 * 100 + 10.4 * 25) / 125, 14);
  expect(mean.u).toBeCloseTo(1 / Math.sqrt(125), 14);
  const x = measured(10, 0.1);
  expect(weightedMean([x, x]).u).toBeCloseTo(0.1, 14);
});

test('bad input is named', () => {
  expect(() => meanOf([1])).toThrow('readings must have at least 2 values, but has 1: give');
  expect(() => meanOf(undefined as never)).toThrow(/list of numbers, but undefined/);
  expect(() => meanOf([1, Number.NaN])).toThrow('readings[1] must be finite, but NaN');
  expect(() =>
    meansOf([
      [1, 2],
      [1, 2, 3],
    ]),
  ).toThrow(/lists of one length; these have 2, 3/);
  expect(() => weightedMean([])).toThrow(/at least one/);
  expect(() => weightedMean([measured(1, 0.1), measured(1, 0)])).toThrow(
    /value 2 has no uncertainty/,
  );
});
