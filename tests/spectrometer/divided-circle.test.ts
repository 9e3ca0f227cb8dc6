import { describe, expect, test } from 'vitest';
import {
  dividedCircle,
  eccentricityError,
  halfAngle,
  readCircle,
  withoutEccentricity,
} from '../../kernel-lib/spectrometer/divided-circle';

const minute = Math.PI / 10800;
const fine = { leastCount: 1e-9 };

test('two opposite verniers cancel the eccentricity at every setting', () => {
  const circle = dividedCircle({
    ...fine,
    zero: 0.7,
    eccentricity: 3 * minute,
    offsetDirection: 2,
  });
  for (let angle = -3; angle <= 3; angle += 0.173) {
    const pair = readCircle(circle, angle);
    const left = withoutEccentricity(pair) - circle.zero - angle;
    expect(Math.sin(left / 2)).toBeCloseTo(0, 8);
  }
});

test('one vernier alone is off by up to the eccentricity, and the pair tells by how much', () => {
  const circle = dividedCircle({ ...fine, eccentricity: 3 * minute });
  const pair = readCircle(circle, Math.PI / 2);
  expect(pair.first - Math.PI / 2).toBeCloseTo(3 * minute, 8);
  expect(eccentricityError(pair)).toBeCloseTo(-3 * minute, 8);
});

test('agrees with the plane geometry of a displaced centre, to second order', () => {
  // The arm turns about (−e, 0); its tip meets the divided circle of radius 1 about the origin.
  const e = 1e-3;
  const circle = dividedCircle({ ...fine, eccentricity: e });
  const tip = (turn: number) => {
    const [ux, uy] = [Math.cos(turn), Math.sin(turn)];
    const reach = e * ux + Math.sqrt(1 - e * e * uy * uy);
    return Math.atan2(reach * uy, reach * ux - e);
  };
  for (const angle of [0.3, 1.2, 2.9]) {
    const { first } = readCircle(circle, angle);
    expect(Math.abs(first - tip(angle))).toBeLessThan(2 * e * e);
    expect(Math.abs(first - angle)).toBeGreaterThan(100 * e * e);
  }
});

test('zero and eccentricity both drop out of the half difference of left and right', () => {
  const circle = dividedCircle({
    ...fine,
    zero: 6.2,
    eccentricity: 4 * minute,
    offsetDirection: 1,
  });
  const left = withoutEccentricity(readCircle(circle, 0.4));
  const right = withoutEccentricity(readCircle(circle, -0.4));
  expect(halfAngle(left, right)).toBeCloseTo(0.4, 8);
});

test('readings are multiples of the least count between 0 and 360°', () => {
  const circle = dividedCircle({ zero: -0.5 });
  for (const angle of [-1, 0, 0.5, 7]) {
    const { first, second } = readCircle(circle, angle);
    for (const reading of [first, second]) {
      expect(reading).toBeGreaterThanOrEqual(0);
      expect(reading).toBeLessThan(2 * Math.PI);
      expect(Math.abs(reading / minute - Math.round(reading / minute))).toBeLessThan(1e-6);
    }
  }
});

describe('what cannot be', () => {
  test('verniers that are not opposite', () => {
    expect(() => withoutEccentricity({ first: 1, second: 1.2 })).toThrow(/should differ by π/);
  });
  test('a least count of zero, an eccentricity in degrees, NaN', () => {
    expect(() => dividedCircle({ leastCount: 0 })).toThrow(/least count/);
    expect(() => dividedCircle({ eccentricity: 2 })).toThrow(/beyond 1°/);
    expect(() => dividedCircle({ zero: Number.NaN })).toThrow(/zero must be finite/);
  });
});
