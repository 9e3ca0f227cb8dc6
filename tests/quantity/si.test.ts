import { expect, test } from 'vitest';
import {
  arcminutes,
  arcseconds,
  cm,
  degrees,
  m,
  mm,
  mrad,
  nm,
  perMillimetre,
  um,
} from '../../kernel-lib/quantity/si';

test('round values stay round: the nearest number to the decimal text', () => {
  expect(nm(550)).toBe(5.5e-7);
  expect(um(40)).toBe(0.00004);
  expect(mm(0.1)).toBe(0.0001);
  expect(cm(20)).toBe(0.2);
  expect(m(1.5)).toBe(1.5);
  expect(mrad(13.75)).toBe(0.01375);
  expect(perMillimetre(600)).toBe(600_000);
  for (let value = 1; value < 1000; value++) {
    expect(nm(value)).toBe(Number(`${value}e-9`));
    expect(um(value)).toBe(Number(`${value}e-6`));
  }
});

test('degrees, minutes and seconds add up, in the size of the circle', () => {
  expect(degrees(180)).toBe(Math.PI);
  expect(degrees(0, 30)).toBeCloseTo(degrees(0.5), 16);
  expect(degrees(0, 0, 36)).toBeCloseTo(degrees(0.01), 16);
  expect(arcminutes(60)).toBeCloseTo(degrees(1), 16);
  expect(arcseconds(3600)).toBeCloseTo(degrees(1), 16);
});

test('the sign of the degrees holds for all, also of -0', () => {
  expect(degrees(-12, 30)).toBeCloseTo(degrees(-12.5), 15);
  expect(degrees(-0, 0, 30)).toBeCloseTo(-degrees(0, 0, 30), 18);
  expect(Object.is(degrees(-0), 0)).toBe(true);
});

test('minutes and seconds outside 0 to 60 are named', () => {
  expect(() => degrees(12, 75)).toThrow(/The minutes .* are 75; they go from 0 to below 60/);
  expect(() => degrees(12, 0, -3)).toThrow(/The seconds .* are -3/);
});

test('what is not a number is named', () => {
  expect(() => nm('550' as never)).toThrow(
    'What nm(…) takes must be a number, but the text "550" was given: write it as in nm(632.8).',
  );
  expect(() => mm(Number.NaN)).toThrow(/mm.*NaN.*as in mm\(0\.1\)/);
});
