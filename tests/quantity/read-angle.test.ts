import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readAngle, writeAngle } from '../../kernel-lib/quantity/angle';
import { arcseconds, degrees } from '../../kernel-lib/quantity/si';

const angle = degrees(12, 34, 56);

describe('the ways people type 12° 34′ 56″', () => {
  test.each([
    '12°34′56″',
    '12° 34′ 56″',
    '12 34 56',
    '12:34:56',
    '12d34m56s',
    '12d 34m 56s',
    '12°34\'56"',
    "12°34'56''",
    '12°34’56”',
    '12º34′56′′',
    '12 deg 34 min 56 sec',
    '12 degrees 34 arcmin 56 arcsec',
    '12°34 56',
    '  12° 34′ 56″  ',
    '+12° 34′ 56″',
    '12° 34′ 56″',
    '12D34M56S',
    '12, 34, 56',
  ])('%s', (text) => expect(readAngle(text)).toBeCloseTo(angle, 14));
});

test.each([
  ['12.5', degrees(12.5)],
  ['12,5', degrees(12.5)],
  ['12.5°', degrees(12.5)],
  ['.5', degrees(0.5)],
  ['12 34.5', degrees(12, 34.5)],
  ["12°34.5'", degrees(12, 34.5)],
  ['12 34 56.7', degrees(12, 34, 56.7)],
  ['34′', degrees(0, 34)],
  ['90′', degrees(1.5)],
  ['56″', degrees(0, 0, 56)],
  ['34′56″', degrees(0, 34, 56)],
  ['12°56″', degrees(12, 0, 56)],
  ['359°59′59″', degrees(359, 59, 59)],
  ['400', degrees(400)],
  ['0.22 rad', 0.22],
  ['220 mrad', 0.22],
  ['0', 0],
])('%s', (text, expected) => expect(readAngle(text)).toBeCloseTo(expected, 14));

test.each([
  ['-0°00\'30"', -degrees(0, 0, 30)],
  ['−12°34′', -degrees(12, 34)],
  ['–12.5', -degrees(12.5)],
  ['- 12 30', -degrees(12.5)],
  ['-0.22rad', -0.22],
])('a sign in front holds for the whole angle: %s', (text, expected) =>
  expect(readAngle(text)).toBeCloseTo(expected, 14),
);

test.each([
  ['12°75′', /the minutes are 75; they must lie below 60/],
  ['12 34 60', /the seconds are 60/],
  ['12.5°30′', /only the last part may have decimals, but the degrees are "12.5"/],
  ['12 34 56 78', /"78" is a fourth part/],
  ['34′12°', /the degrees "12" come after the minutes/],
  ['12° x', /"x" is not a number/],
  ['12°-30′', /a sign belongs in front of the whole angle/],
  ['', /it is empty/],
  ['north', /"north" is not a number/],
  ['12°°', /"°" is not a number/],
])('what cannot be read is named: %s', (text, message) =>
  expect(() => readAngle(text)).toThrow(message),
);

test('a number is refused, since rad and degrees look alike', () => {
  expect(() => readAngle(12.5 as never)).toThrow(/use degrees\(12.5\)/);
});

test('what writeAngle writes is read back, to half a least count', () => {
  const count = arcseconds(1);
  fc.assert(
    fc.property(fc.double({ min: -7, max: 7, noNaN: true }), (rad) => {
      const back = readAngle(writeAngle(rad, 'arcsecond'));
      expect(Math.abs(back - rad)).toBeLessThanOrEqual(0.5000001 * count);
    }),
    { seed: 4, numRuns: 500 },
  );
});
