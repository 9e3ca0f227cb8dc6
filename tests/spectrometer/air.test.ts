import { expect, test } from 'vitest';
import {
  refractiveIndexOfAir,
  wavelengthInAir,
  wavelengthInVacuum,
} from '../../kernel-lib/spectrometer/air';

test('there and back again, over the whole range', () => {
  for (let nm = 235; nm < 1690; nm += 5) {
    const vacuum = nm * 1e-9;
    expect(wavelengthInVacuum(wavelengthInAir(vacuum)) / vacuum).toBeCloseTo(1, 14);
  }
});

test('thinner, warmer and wetter air refracts less', () => {
  const standard = refractiveIndexOfAir(550e-9);
  expect(refractiveIndexOfAir(550e-9, { pressure: 9e4 })).toBeLessThan(standard);
  expect(refractiveIndexOfAir(550e-9, { temperature: 300 })).toBeLessThan(standard);
  expect(refractiveIndexOfAir(550e-9, { humidity: 1 })).toBeLessThan(standard);
});

test('units taken for others are told', () => {
  expect(() => wavelengthInAir(589)).toThrow(/230 nm to 1.7 µm/);
  expect(() => wavelengthInVacuum(-1)).toThrow(/greater than 0/);
  expect(() => refractiveIndexOfAir(5e-7, { temperature: 20 })).toThrow(/kelvin/);
  expect(() => refractiveIndexOfAir(5e-7, { pressure: 1013 })).toThrow(/pascal/);
  expect(() => refractiveIndexOfAir(5e-7, { humidity: 50 })).toThrow(/share between 0 and 1/);
});
