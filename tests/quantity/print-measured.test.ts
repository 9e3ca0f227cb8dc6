import { expect, test } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { printMeasured } from '../../kernel-lib/quantity/print-measured';

test.each([
  [12.3412, 0.0512, '12.34(5)', '12.34 ± 0.05'],
  [12.3412, 0.0123, '12.341(12)', '12.341 ± 0.012'],
  [12.3412, 0.0296, '12.34(3)', '12.34 ± 0.03'],
  [12.3412, 0.0999, '12.34(10)', '12.34 ± 0.10'],
  // Where u rounds up to a 1 it has two digits, as every u that begins with 1.
  [12.3456, 0.095001, '12.35(10)', '12.35 ± 0.10'],
  [12.3456, 0.0994, '12.35(10)', '12.35 ± 0.10'],
  [12.3456, 0.0949, '12.35(9)', '12.35 ± 0.09'],
  [1234.6, 96, '1230(100)', '1230 ± 100'],
  // Halves go away from zero on both sides, and zero has no sign.
  [12.5, 4, '13(4)', '13 ± 4'],
  [-12.5, 4, '−13(4)', '−13 ± 4'],
  [-0.01, 0.5, '0.0(5)', '0.0 ± 0.5'],
  [-0.3, 4, '0(4)', '0 ± 4'],
  [-1e-9, 5e-8, '0(5) × 10⁻⁸', '0 ± 5 × 10⁻⁸'],
  [12.3, 1.23, '12.3(1.2)', '12.3 ± 1.2'],
  [1234, 123, '1230(120)', '1230 ± 120'],
  [1234, 567, '1200(600)', '1200 ± 600'],
  [-5.55, 0.4, '−5.5(4)', '−5.5 ± 0.4'],
  [0, 0.05, '0.00(5)', '0.00 ± 0.05'],
  [5.893e-7, 5e-10, '5.893(5) × 10⁻⁷', '5.893 ± 0.005 × 10⁻⁷'],
  [3, 0, '3(0)', '3 ± 0'],
  [Number.NaN, 1, 'NaN(1)', 'NaN ± 1'],
])('%d with u %d', (value, u, brief, long) => {
  expect(printMeasured({ value, u })).toBe(brief);
  expect(printMeasured({ value, u }, { style: 'plus-minus' })).toBe(
    long.includes('×') ? `(${long.replace(' ×', ') ×')}` : long,
  );
});

test('in a unit, the value and u being SI', () => {
  const line = measured(589.32e-9, 0.51e-9);
  expect(line.in('nm')).toBe('589.3(5) nm');
  expect(line.in('nm', 'plus-minus')).toBe('(589.3 ± 0.5) nm');
  expect(measured(0.01, 1e-4).in('deg')).toBe('0.573(6)°');
  expect(() => line.in('inch')).toThrow(/The unit "inch" is not known/);
});

test('the digits of u can be asked for', () => {
  // JCGM 100:2008, 7.2.2 prints a mass of 100.021 47 g with u = 0.35 mg as 100.021 47(35) g (from memory).
  expect(printMeasured({ value: 100.02147, u: 0.00035 }, { digits: 2 })).toBe('100.02147(35)');
  expect(printMeasured({ value: 12.3412, u: 0.0123 }, { digits: 1 })).toBe('12.34(1)');
});
