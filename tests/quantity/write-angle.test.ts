import { expect, test } from 'vitest';
import { wrapAngle, wrapAngleSigned, writeAngle } from '../../kernel-lib/quantity/angle';
import { arcminutes, arcseconds, degrees } from '../../kernel-lib/quantity/si';

test('the least count says how far it goes', () => {
  const angle = degrees(12, 34, 56);
  expect(writeAngle(angle, 'arcsecond')).toBe('12° 34′ 56″');
  expect(writeAngle(angle, 'arcminute')).toBe('12° 35′');
  expect(writeAngle(angle, 'degree')).toBe('13°');
  expect(writeAngle(angle, arcseconds(20))).toBe('12° 35′ 00″');
  expect(writeAngle(angle, arcseconds(30))).toBe('12° 35′ 00″');
  expect(writeAngle(angle, arcseconds(10))).toBe('12° 35′ 00″');
  expect(writeAngle(degrees(12, 34, 44), arcseconds(20))).toBe('12° 34′ 40″');
  expect(writeAngle(angle, arcminutes(30))).toBe('12° 30′');
  expect(writeAngle(degrees(0, 0, 7.26), arcseconds(0.1))).toBe('0° 00′ 07.3″');
});

test('rounding carries over, never to 60', () => {
  expect(writeAngle(degrees(12, 59, 59.7))).toBe('13° 00′ 00″');
  expect(writeAngle(degrees(359, 59, 59.97), arcseconds(0.1))).toBe('360° 00′ 00.0″');
});

test('the sign stands in front, and zero has none', () => {
  expect(writeAngle(degrees(-0, 0, 30))).toBe('−0° 00′ 30″');
  expect(writeAngle(degrees(-12, 30), 'arcminute')).toBe('−12° 30′');
  expect(writeAngle(-1e-9)).toBe('0° 00′ 00″');
});

test('bad input is named', () => {
  expect(() => writeAngle(Number.NaN)).toThrow(/angle must be finite, but NaN/);
  expect(() => writeAngle(1, 0)).toThrow(/least count .* 0 was given/);
  expect(() => writeAngle(1, 'minute' as never)).toThrow(/minute was given/);
});

test('angles wrap at 360°', () => {
  expect(wrapAngle(degrees(-10))).toBeCloseTo(degrees(350), 14);
  expect(wrapAngle(degrees(730))).toBeCloseTo(degrees(10), 13);
  expect(wrapAngle(2 * Math.PI)).toBe(0);
  expect(wrapAngle(-1e-20)).toBe(0);
  expect(Object.is(wrapAngle(-2 * Math.PI), 0)).toBe(true);
  expect(wrapAngleSigned(degrees(350))).toBeCloseTo(degrees(-10), 13);
  expect(wrapAngleSigned(Math.PI)).toBe(Math.PI);
  expect(() => wrapAngle(Number.POSITIVE_INFINITY)).toThrow(/angle must be finite, but Infinity/);
});
