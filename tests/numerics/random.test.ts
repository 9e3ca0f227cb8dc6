import { expect, test } from 'vitest';
import { portableLog, seeded } from '../../kernel-lib/numerics/random';

test('one seed, one stream; a number is read as its text; other seeds differ', () => {
  const take = (seed: string | number) => {
    const random = seeded(seed);
    return [random.uniform(), random.whole(1000), random.normal()];
  };
  expect(take('s1024567')).toEqual(take('s1024567'));
  expect(take(7)).toEqual(take('7'));
  expect(take('s1024567')).not.toEqual(take('s1024568'));
});

// Limits: five standard deviations of what is counted.
test('uniforms fill 0…1 evenly', () => {
  const random = seeded('even');
  const bins = new Array(50).fill(0);
  for (let i = 0; i < 100_000; i++) bins[Math.floor(random.uniform() * 50)]++;
  const chi = bins.reduce((sum, n) => sum + (n - 2000) ** 2 / 2000, 0);
  // χ² of 49 degrees of freedom: 49 ± 9.9.
  expect(chi).toBeGreaterThan(15);
  expect(chi).toBeLessThan(99);
});

test('whole numbers are fair, also for limits that do not divide 2³²', () => {
  const random = seeded('fair');
  const limit = 3 * 2 ** 30;
  let low = 0;
  for (let i = 0; i < 30_000; i++) if (random.whole(limit) < 2 ** 30) low++;
  // A careless remainder would put half of them into the lowest third.
  expect(Math.abs(low - 10_000)).toBeLessThan(5 * Math.sqrt(30_000 * (1 / 3) * (2 / 3)));
  expect(random.whole(1)).toBe(0);
  const seen = new Set(Array.from({ length: 200 }, () => random.whole(6)));
  expect([...seen].sort()).toEqual([0, 1, 2, 3, 4, 5]);
});

test('normal deviates have mean 0, standard deviation 1, kurtosis 3 and no correlation', () => {
  const random = seeded('bell');
  const n = 100_000;
  const x = Array.from({ length: n }, () => random.normal());
  const mean = (f: (value: number, i: number) => number) =>
    x.reduce((sum, v, i) => sum + f(v, i), 0) / n;
  expect(Math.abs(mean((v) => v))).toBeLessThan(5 / Math.sqrt(n));
  expect(Math.abs(mean((v) => v * v) - 1)).toBeLessThan(5 * Math.sqrt(2 / n));
  expect(Math.abs(mean((v) => v ** 4) - 3)).toBeLessThan(5 * Math.sqrt(96 / n));
  expect(Math.abs(mean((v, i) => v * (x[i + 1] ?? 0)))).toBeLessThan(5 / Math.sqrt(n));
  // The normal distribution holds 95.45 % within two standard deviations.
  const within = x.filter((v) => Math.abs(v) < 2).length / n;
  expect(Math.abs(within - 0.9545)).toBeLessThan(5 * Math.sqrt((0.9545 * 0.0455) / n));
});

test('the portable logarithm agrees with Math.log', () => {
  for (const x of [1e-300, 1e-9, 0.1, 0.5, Math.SQRT1_2, 0.9999999, 1, 1.5, 3, 1e10]) {
    const error = Math.abs(portableLog(x) - Math.log(x));
    expect(error).toBeLessThanOrEqual(4e-16 * Math.max(1, Math.abs(Math.log(x))));
  }
});

test('bad seeds and limits are refused by name', () => {
  expect(() => seeded(Number.NaN)).toThrow(/seed.*NaN/);
  // @ts-expect-error a seed is a text or a number
  expect(() => seeded(undefined)).toThrow(TypeError);
  const { whole } = seeded('x');
  for (const limit of [0, -1, 1.5, 2 ** 33, Number.NaN]) {
    expect(() => whole(limit)).toThrow(/whole number from 1 to 2\^32/);
  }
});
