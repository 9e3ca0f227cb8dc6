import { describe, expect, test } from 'vitest';
import {
  gratingAngle,
  gratingDeviation,
  gratingOrders,
  gratingSpacing,
  gratingWavelength,
  minimumDeviation,
  wavelengthFromMinimumDeviation,
} from '../../kernel-lib/spectrometer/grating';

const d = 1e-3 / 600;

test('order 0 goes straight on at every incidence', () => {
  for (const incidence of [-1, 0, 0.3]) {
    expect(gratingAngle(0, 500e-9, d, incidence)).toBeCloseTo(incidence, 12);
  }
});

test('incidence from either side: mirrored orders', () => {
  expect(gratingAngle(1, 500e-9, d, 0.2)).toBeCloseTo(-gratingAngle(-1, 500e-9, d, -0.2), 12);
  expect(gratingAngle(1, 500e-9, d, 0.2)).not.toBeCloseTo(gratingAngle(1, 500e-9, d, -0.2), 2);
});

test('wavelength, spacing and angle lead back to each other', () => {
  for (const incidence of [-0.2, 0, 0.25])
    for (const order of [-2, -1, 1]) {
      const angle = gratingAngle(order, 550e-9, d, incidence);
      expect(gratingWavelength(order, d, angle, incidence)).toBeCloseTo(550e-9, 18);
      expect(gratingSpacing(order, 550e-9, angle, incidence)).toBeCloseTo(d, 15);
    }
});

test('the orders that exist are those with an angle', () => {
  for (const incidence of [-1, -0.3, 0, 0.3, 1]) {
    const { lowest, highest } = gratingOrders(500e-9, d, incidence);
    expect(() => gratingAngle(highest, 500e-9, d, incidence)).not.toThrow();
    expect(() => gratingAngle(lowest, 500e-9, d, incidence)).not.toThrow();
    expect(() => gratingAngle(highest + 1, 500e-9, d, incidence)).toThrow(/does not exist/);
    expect(() => gratingAngle(lowest - 1, 500e-9, d, incidence)).toThrow(/does not exist/);
  }
});

describe('minimum deviation', () => {
  test('is a minimum of the deviation over the incidence, for both signs of order', () => {
    for (const order of [-2, -1, 1, 2]) {
      const { deviation, incidence, angle } = minimumDeviation(order, 600e-9, d);
      expect(angle - incidence).toBeCloseTo(deviation, 12);
      expect(gratingDeviation(order, 600e-9, d, incidence)).toBeCloseTo(deviation, 12);
      for (const aside of [-0.05, -0.001, 0.001, 0.05]) {
        const other = gratingDeviation(order, 600e-9, d, incidence + aside);
        expect(Math.abs(other)).toBeGreaterThan(Math.abs(deviation));
      }
    }
  });
  test('gives the wavelength back', () => {
    const { deviation } = minimumDeviation(-2, 600e-9, d);
    expect(wavelengthFromMinimumDeviation(-2, d, deviation)).toBeCloseTo(600e-9, 18);
  });
  test('reaches orders that normal incidence does not have', () => {
    expect(gratingOrders(600e-9, d).highest).toBe(2);
    expect(minimumDeviation(5, 600e-9, d).deviation).toBeGreaterThan(2);
    expect(() => minimumDeviation(6, 600e-9, d)).toThrow(/any incidence/);
  });
});

describe('sentences', () => {
  test.each([
    [() => gratingAngle(1.5, 5e-7, d), /order must be a whole number, but 1.5/],
    [() => gratingAngle(1, 0, d), /wavelength must be greater than 0/],
    [() => gratingAngle(1, 5e-7, -d), /spacing must be greater than 0/],
    [() => gratingAngle(1, 5e-7, d, 30), /more than 90° from the normal/],
    [() => gratingWavelength(0, d, 0.3), /every wavelength goes straight on/],
    [() => gratingWavelength(1, d, -0.3), /the same sign/],
    [() => gratingSpacing(1, 5e-7, 0), /gives no spacing/],
    [() => gratingAngle(9, 5e-7, d), /orders run from -3 to 3/],
  ])('%#', (call, sentence) => {
    expect(call).toThrow(sentence);
  });
});
