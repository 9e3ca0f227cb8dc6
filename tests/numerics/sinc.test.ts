import { expect, test } from 'vitest';
import {
  cosPi,
  sinc,
  sincCurvature,
  sincPi,
  sincSlope,
  sinPi,
} from '../../kernel-lib/numerics/sinc';

test('sin πx and cos πx agree with Math.sin and Math.cos to 2e-16 and are exact at quarter turns', () => {
  let worst = 0;
  for (let x = -1; x <= 1; x += 1 / 4099) {
    worst = Math.max(worst, Math.abs(sinPi(x) - Math.sin(Math.PI * x)));
    worst = Math.max(worst, Math.abs(cosPi(x) - Math.cos(Math.PI * x)));
  }
  // Math.sin sees π rounded: half a unit in the last place of π.
  expect(worst).toBeLessThan(4e-16);
  for (const n of [0, 1, 7, 1e6, -3, 2 ** 40 + 1]) {
    expect(sinPi(n)).toBeCloseTo(0, 20);
    expect(cosPi(n + 0.5)).toBeCloseTo(0, 20);
    expect(cosPi(n)).toBe(n % 2 === 0 ? 1 : -1);
    expect(sinPi(n + 0.5)).toBe(n % 2 === 0 ? 1 : -1);
  }
});

test('sin πx repeats after 2 however large x is', () => {
  for (const x of [0.1, 0.37, 0.9, 1.43]) {
    const large = 2 ** 36 + x;
    expect(sinPi(large)).toBe(sinPi(large - 2 ** 36));
    expect(cosPi(-large)).toBe(cosPi(large - 2 ** 36));
  }
});

test('both sincs are 1 at 0 and beside it, even at the smallest number', () => {
  for (const x of [0, 5e-324, -1e-300, 1e-12]) {
    expect(sinc(x)).toBe(1);
    expect(sincPi(x)).toBe(1);
  }
  expect(sincPi(3)).toBeCloseTo(0, 20);
  expect(sincPi(0.5)).toBeCloseTo(2 / Math.PI, 15);
});

test('slope and curvature are the differences of the sinc, through the change of formula at 0.3', () => {
  const h = 1e-5;
  for (const x of [0, 0.01, 0.29, 0.3, 0.31, 1, 4.4934, -2, 30]) {
    expect(sincSlope(x)).toBeCloseTo((sinc(x + h) - sinc(x - h)) / (2 * h), 9);
    expect(sincCurvature(x)).toBeCloseTo((sincSlope(x + h) - sincSlope(x - h)) / (2 * h), 9);
  }
  expect(sincSlope(0.3 + 1e-15)).toBeCloseTo(sincSlope(0.3), 14);
  expect(sincSlope(5e-324)).toBeCloseTo(0, 20);
});
