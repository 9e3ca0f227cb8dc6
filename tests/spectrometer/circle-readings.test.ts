import { describe, expect, test } from 'vitest';
import { seeded } from '../../kernel-lib/numerics/random';
import {
  circleReadings,
  halfAngle,
  meanReading,
  withoutEccentricity,
} from '../../kernel-lib/spectrometer/divided-circle';
import { gratingWavelength } from '../../kernel-lib/spectrometer/grating';

const second = Math.PI / 648000;
const setting = {
  spacing: 1e-3 / 600,
  wavelengths: [435.83e-9, 546.07e-9],
  orders: [-2, -1, 1, 2],
  circle: { zero: 6.1, eccentricity: 90 * second, offsetDirection: 1, leastCount: 30 * second },
  repeats: 5,
};

test('the same seed gives the same readings, another seed others', () => {
  expect(circleReadings(seeded('a'), setting)).toEqual(circleReadings(seeded('a'), setting));
  expect(circleReadings(seeded('a'), setting)).not.toEqual(circleReadings(seeded('b'), setting));
});

test('reduced as a student reduces them, the readings give the wavelengths', () => {
  const list = circleReadings(seeded('reduce'), setting);
  expect(list).toHaveLength(8);
  for (const wavelength of setting.wavelengths) {
    for (const order of [1, 2]) {
      const side = (m: number) =>
        meanReading(
          list
            .find((row) => row.order === m && row.wavelength === wavelength)!
            .readings.map(withoutEccentricity),
        ).value;
      const theta = halfAngle(side(order), side(-order));
      expect(gratingWavelength(order, setting.spacing, theta) * 1e9).toBeCloseTo(
        wavelength * 1e9,
        0,
      );
      expect(Math.abs(gratingWavelength(order, setting.spacing, theta) - wavelength)).toBeLessThan(
        0.3e-9,
      );
    }
  }
});

test('the scatter is the one that is documented', () => {
  const [{ readings }] = circleReadings(seeded('scatter'), {
    spacing: setting.spacing,
    wavelengths: [5e-7],
    orders: [1],
    circle: { leastCount: 0.01 * second },
    repeats: 4000,
    scatter: 15 * second,
  });
  const { spread } = meanReading(readings.map((pair) => pair.first));
  // 4000 deviates fix a standard deviation to 1/√8000 = 1.1 %; three times that.
  expect(Math.abs(spread / (15 * second) - 1)).toBeLessThan(0.034);
});

describe('mean of readings', () => {
  test('across 0°', () => {
    const { value, spread, u } = meanReading([0.001, 2 * Math.PI - 0.001, 0]);
    expect(Math.min(value, 2 * Math.PI - value)).toBeCloseTo(0, 12);
    expect(spread).toBeCloseTo(0.001, 12);
    expect(u).toBeCloseTo(0.001 / Math.sqrt(3), 12);
  });
  test('readings that do not scatter keep the uncertainty of the least count', () => {
    expect(meanReading([0.1, 0.1, 0.1], 0.01).u).toBeCloseTo(0.01 / Math.sqrt(12), 12);
  });
  test('none at all', () => {
    expect(() => meanReading([])).toThrow(/readings must have at least 1 value/);
    expect(() => meanReading([1], -1)).toThrow(/least count/);
    expect(() => meanReading([1, Number.NaN])).toThrow(/readings\[1\] must be finite/);
  });
});

test('what cannot be read', () => {
  expect(() => circleReadings(seeded(1), { ...setting, orders: [4] })).toThrow(/does not exist/);
  expect(() => circleReadings(seeded(1), { ...setting, repeats: 0 })).toThrow(/repeats is 0/);
  expect(() => circleReadings(seeded(1), { ...setting, scatter: -1 })).toThrow(/scatter is -1/);
});
