import { describe, expect, test } from 'vitest';
import { formatNumber } from '../../kernel-lib/quantity/format-number';
import { formatQuantity, fromUnit, toUnit } from '../../kernel-lib/quantity/known-unit';
import { isUnit, unit } from '../../kernel-lib/quantity/unit';

test('values go to the stated unit and back', () => {
  expect(toUnit(0.00004, 'um')).toBe(40);
  expect(fromUnit(40, 'µm')).toBe(0.00004);
  expect(toUnit(Math.PI, 'deg')).toBe(180);
  expect(fromUnit(0.5, '%')).toBe(0.005);
  expect(fromUnit(600, '1/mm')).toBe(600_000);
  expect(fromUnit(600, 'lines/mm')).toBe(600_000);
  expect(toUnit(fromUnit(1, 'arcmin/nm'), 'arcsec/nm')).toBeCloseTo(60, 10);
  expect(fromUnit(5893, 'Å')).toBeCloseTo(589.3e-9, 20);
  expect(formatQuantity(589.3e-9, 'angstrom')).toBe('5893 Å');
  expect(fromUnit(2, 'mm^2')).toBeCloseTo(2e-6, 18);
  expect(fromUnit(2, 'mm²')).toBeCloseTo(2e-6, 18);
});

test('an unknown unit is named, and the known ones listed', () => {
  expect(() => toUnit(1, 'inch')).toThrow(/The unit "inch" is not known\. Known are 1, %, lines/);
  expect(() => toUnit(1, undefined as never)).toThrow(/is not known/);
});

describe('numbers for people', () => {
  test.each([
    [0.78704, 3, '0.787'],
    [4.62, 4, '4.62'],
    [-12.5, 4, '−12.5'],
    [0, 4, '0'],
    [5.893e-7, 4, '5.893 × 10⁻⁷'],
    [12345678, 3, '1.23 × 10⁷'],
    [0.0001, 4, '0.0001'],
    [999.96, 4, '1000'],
    [Number.NaN, 4, 'NaN'],
    [Number.NEGATIVE_INFINITY, 4, '−∞'],
  ])('%d to %d digits is %s', (value, digits, text) =>
    expect(formatNumber(value, digits)).toBe(text),
  );

  test('with a unit: a space, but none before ° ′ ″', () => {
    expect(formatQuantity(0.00004, 'um')).toBe('40 µm');
    expect(formatQuantity(Math.PI / 6, 'deg')).toBe('30°');
    expect(formatQuantity(0.005, '%')).toBe('0.5 %');
    expect(formatQuantity(600_000, '1/mm')).toBe('600 1/mm');
    expect(formatQuantity(0.25, '1')).toBe('0.25');
  });

  test('digits outside 1 to 15 are refused', () => {
    expect(() => formatNumber(1, 0)).toThrow(/digits.*from 1 to 15, but 0/);
  });
});

describe('unit', () => {
  test.each([
    ['0.32 deg', 'rad', 0.32 * (Math.PI / 180)],
    ['0.32°', 'deg', 0.32],
    ['20″', 'arcsec', 20],
    ["5'", 'arcmin', 5],
    ['550 nm', 'um', 0.55],
    ['5 µm', 'nm', 5000],
    ['600 /mm', 'm^-1', 600_000],
    ['600 1/mm', 'm^-1', 600_000],
    ['−3 mm', 'cm', -0.3],
    ['− 5 mm', 'cm', -0.5],
    ['+ 5 mm', 'cm', 0.5],
    ['300 lines/mm', 'm^-1', 300_000],
    ['1 line / mm', 'm^-1', 1000],
    ['300 lines/cm', 'm^-1', 30_000],
    ['5893 \u00c5', 'nm', 589.3],
    ['5893\u212b', 'nm', 589.3],
    ['5893 angstrom', 'nm', 589.3],
    ['3 mm²', 'mm^2', 3],
    ['20 degC', 'K', 293.15],
  ])('%s in %s', (text, to, expected) =>
    expect(unit(text).toNumber(to) / expected).toBeCloseTo(1, 14),
  );

  test('converts, multiplies and prints', () => {
    expect(String(unit('0.32 deg').to('arcmin'))).toBe('19.2 arcmin');
    expect(String(unit('3 mm').multiply(2))).toBe('6 mm');
    expect(unit('3 mm').divide(unit('2 s')).toNumber('m/s')).toBeCloseTo(0.0015, 15);
    expect(isUnit(unit('3 mm'))).toBe(true);
  });

  test.each([
    ['0,32 deg', /write decimals with a point/],
    ['12°34′', /use readAngle/],
    ['5 %', /does not read %/],
    ['5 foos', /Unit "foos" not found/],
    ['0.32', /contains no units/],
    ['', /cannot be read/],
  ])('what cannot be read is told: %s', (text, message) =>
    expect(() => unit(text)).toThrow(message),
  );

  test('text is needed', () => {
    expect(() => unit(5 as never)).toThrow("unit takes text, as in unit('0.32 deg')");
  });
});
