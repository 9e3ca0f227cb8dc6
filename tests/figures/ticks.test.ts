import { expect, test } from 'vitest';
import { linearTicks, logTicks, roundStep, tickLabel } from '../../kernel-lib/figures/svg/axes';

const labels = (ticks: readonly { label: string }[]) => ticks.map(({ label }) => label);

test('steps are 1, 2 or 5 times a power of ten', () => {
  expect([0.011, 0.2, 0.21, 3, 5, 5.1, 999].map(roundStep)).toEqual([
    0.02, 0.2, 0.5, 5, 5, 10, 1000,
  ]);
});

test('ticks include both ends where these are round', () => {
  expect(labels(linearTicks(-26, 26, 6))).toEqual(['−20', '−10', '0', '10', '20']);
  expect(labels(linearTicks(0, 1, 5))).toEqual(['0', '0.2', '0.4', '0.6', '0.8', '1.0']);
  expect(labels(linearTicks(-0.3, 0.3, 6))).toEqual([
    '−0.3',
    '−0.2',
    '−0.1',
    '0',
    '0.1',
    '0.2',
    '0.3',
  ]);
});

test('a low panel has more than one number where its range holds round ones: one tells no scale', () => {
  // The residuals under a fit: a panel with room for two or three.
  expect(labels(linearTicks(-3.6, 3.6, 2))).toEqual(['−2', '0', '2']);
  expect(labels(linearTicks(-8.5, 8.5, 2))).toEqual(['−5', '0', '5']);
  expect(labels(linearTicks(0.2, 1.7, 2))).toEqual(['0.5', '1.0', '1.5']);
});

test('labels have a true minus sign, as many decimals as the step, powers of ten for sizes no one reads', () => {
  expect(tickLabel(-0.25, 0.05)).toBe('−0.25');
  expect(tickLabel(1e-17, 0.1)).toBe('0');
  expect(tickLabel(250000, 50000)).toBe('2.5×10⁵');
  expect(tickLabel(-2e-6, 1e-6)).toBe('−2×10⁻⁶');
});

test('a logarithmic axis has powers of ten, thinned where they crowd', () => {
  expect(labels(logTicks(1e-4, 1.6, 6))).toEqual(['10⁻⁴', '10⁻³', '10⁻²', '10⁻¹', '1']);
  expect(labels(logTicks(1e-12, 1, 5))).toEqual(['10⁻¹²', '10⁻⁹', '10⁻⁶', '10⁻³', '1']);
});
