import { expect, test } from 'vitest';
import { seeded } from '../../kernel-lib/numerics/random';
import { correlated } from '../../kernel-lib/quantity/correlated';
import { measured, propagate } from '../../kernel-lib/quantity/measured';

/** Monte Carlo after JCGM 101:2008: draw the inputs, compute, take the standard deviation. */
function spread(seed: string, draw: (normal: () => number) => number, count = 40_000): number {
  const random = seeded(seed);
  const values = Array.from({ length: count }, () => draw(() => random.normal()));
  const mean = values.reduce((a, b) => a + b, 0) / count;
  return Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (count - 1));
}

/** The standard deviation of n draws is itself known to 1/√(2n); four of those. */
const within = 4 / Math.sqrt(2 * 40_000);

test('a wavelength from grating spacing, angle and order', () => {
  const wavelength = (d: number, angle: number) => (d * Math.sin(angle)) / 2;
  const u = propagate(wavelength, measured(1.667e-6, 1.2e-9), measured(0.79, 3e-4)).u;
  const drawn = spread('grating', (n) => wavelength(1.667e-6 + 1.2e-9 * n(), 0.79 + 3e-4 * n()));
  expect(Math.abs(drawn / u - 1)).toBeLessThan(within);
});

test('a difference of two readings against one zero', () => {
  const zero = measured(0.2, 0.004);
  const left = measured(1.1, 0.003).minus(zero);
  const right = measured(1.4, 0.003).minus(zero);
  const result = left.plus(right).times(right.over(left));
  const drawn = spread('zero', (n) => {
    const z = 0.2 + 0.004 * n();
    const [l, r] = [1.1 + 0.003 * n() - z, 1.4 + 0.003 * n() - z];
    return ((l + r) * r) / l;
  });
  expect(Math.abs(drawn / result.u - 1)).toBeLessThan(within);
});

test('correlated inputs', () => {
  const [a, b] = correlated(
    [2, 5],
    [
      [4e-4, -5e-4],
      [-5e-4, 9e-4],
    ],
  );
  const result = a.times(b).over(a.plus(b));
  const drawn = spread('pair', (n) => {
    const first = n();
    const x = 2 + 0.02 * first;
    // u(b | a) = √(9e-4 − (5e-4)²/4e-4)
    const y = 5 - 0.025 * first + Math.sqrt(9e-4 - 6.25e-4) * n();
    return (x * y) / (x + y);
  });
  expect(Math.abs(drawn / result.u - 1)).toBeLessThan(within);
});
