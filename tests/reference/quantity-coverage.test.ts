import { coverageFactor, expanded, fitLine, meanOf, measured, measuredParameters } from 'multislit';
import { describe, expect, test } from 'vitest';
import scipy from './quantity-coverage.json';

describe('coverage factors', () => {
  test("as SciPy's Student's t gives them (quantity-coverage.py)", () => {
    expect(scipy.factors.length).toBeGreaterThan(80);
    for (const [freedom, coverage, factor] of scipy.factors)
      expect(Math.abs(coverageFactor(freedom, coverage) / factor - 1)).toBeLessThan(1e-6);
  });

  test('as the normal distribution gives them when u is known exactly', () => {
    for (const [coverage, factor] of scipy.normal)
      expect(coverageFactor(Number.POSITIVE_INFINITY, coverage) / factor).toBeCloseTo(1, 6);
  });

  // JCGM 100:2008, table G.2, from memory; SciPy 1.10 gives the same two decimals.
  test.each([
    [1, 0.95, '12.71'],
    [4, 0.95, '2.78'],
    [9, 0.95, '2.26'],
    [16, 0.99, '2.92'],
    [50, 0.95, '2.01'],
  ])('ν = %d, p = %d: %s', (freedom, coverage, factor) =>
    expect(coverageFactor(freedom, coverage).toFixed(2)).toBe(factor),
  );

  test('degrees of freedom are cut to a whole number, rounding errors aside', () => {
    expect(coverageFactor(16.7, 0.99).toFixed(4)).toBe('2.9208');
    expect(coverageFactor(3.9999999999)).toBeCloseTo(2.7764451, 6);
  });
});

test('a mass, stated as JCGM 100:2008, 7.2.4 does: k = 2.26 for ν = 9 and 95 % (from memory)', () => {
  const mass = expanded(measured(100.02147, 0.00035, { freedom: 9 }));
  expect(String(mass)).toBe('100.0215 ± 0.0008 (k = 2.26, 95 % coverage, ν = 9)');
  expect(mass.U).toBeCloseTo(0.00079, 5);
});

test('the end gauge of H.1: 2.92 × 32 nm = 93 nm at 99 % for ν = 16 (from memory)', () => {
  const gauge = expanded(measured(50_000_838e-9, 32e-9, { freedom: 16.7 }), { coverage: 0.99 });
  expect(Math.round(gauge.U * 1e9)).toBe(93);
  expect(gauge.in('mm')).toBe('(50.00084 ± 0.00009) mm (k = 2.92, 99 % coverage, ν = 16)');
});

test('five readings of a line: the interval of the textbook, x̄ ± t s/√n', () => {
  // 589.1, 589.4, 589.2, 589.5, 589.3: mean 589.3, s = √0.025, u = √0.005; t(0.975, 4) = 2.776 by SciPy.
  const line = expanded(meanOf([589.1, 589.4, 589.2, 589.5, 589.3]));
  expect(line.value).toBeCloseTo(589.3, 10);
  expect(line.freedom).toBeCloseTo(4, 10);
  expect(line.U).toBeCloseTo(2.7764451 * Math.sqrt(0.005), 6);
});

test('the slope through three points has one degree of freedom, and 95 % reach far', () => {
  const [, slope] = measuredParameters(fitLine({ x: [0, 1, 2], y: [0, 1.1, 1.9] }));
  expect(expanded(slope).k).toBeCloseTo(12.7062, 3);
  const [, given] = measuredParameters(fitLine({ x: [0, 1, 2], y: [0, 1.1, 1.9], u: 0.1 }));
  expect(expanded(given).k).toBeCloseTo(1.959964, 5);
});

test('what cannot be expanded is named', () => {
  expect(() => expanded(5 as never)).toThrow(/takes a measured value/);
  expect(() => expanded({ value: 1, u: 2 } as never)).toThrow(/measuredParameters\(fit\)/);
  expect(() => expanded(measured(1, 0.1), { coverage: 95 })).toThrow(/as in 0.95 for 95 %/);
  expect(() => coverageFactor(0)).toThrow(/above 0/);
  expect(() => coverageFactor(Number.NaN)).toThrow(/above 0/);
});
