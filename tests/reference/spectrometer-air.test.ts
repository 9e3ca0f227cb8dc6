import { expect, test } from 'vitest';
import {
  refractiveIndexOfAir,
  wavelengthInAir,
  wavelengthInVacuum,
} from '../../kernel-lib/spectrometer/air';
import table from './lab-lines.csv';

test.each([
  [293.15, 26824.4],
  [283.15, 27774.7],
])(
  'Ciddor 1996, table: 633 nm, dry, 450 ppm CO2, 100 kPa, %f K (values from memory)',
  (temperature, expected) => {
    const n = refractiveIndexOfAir(633e-9, { temperature, pressure: 100e3 });
    expect((n - 1) * 1e8).toBeCloseTo(expected, 1);
  },
);

test('helium-neon line, 473.612353604 THz: 632.99121 nm in vacuum, 632.8162 nm in air (from memory)', () => {
  const vacuum = 299792458 / 473.612353604e12;
  expect(vacuum * 1e9).toBeCloseTo(632.99121, 5);
  expect(wavelengthInAir(vacuum) * 1e9).toBeCloseTo(632.8162, 4);
});

// Vacuum: NIST ASD as stored in pypeit/PypeIt (BSD-3-Clause); air: Peck & Reeder, J. Opt. Soc. Am. 62, 958 (1972),
// whose coefficients are from memory.
const lines = table
  .trim()
  .split('\n')
  .slice(1)
  .map((row) => row.split(','))
  .map(([species, vacuum, air]) => [species, Number(vacuum), Number(air)] as const);

test('the table was read whole', () => {
  expect(lines.length).toBe(22);
});

test.each(lines)('%s %f nm in vacuum', (_, vacuum, air) => {
  // The table's air wavelengths are rounded to 0.0001 nm; the two formulas differ by 1e-5 nm.
  expect(Math.abs(wavelengthInAir(vacuum * 1e-9) * 1e9 - air)).toBeLessThan(0.0001);
  expect(Math.abs(wavelengthInVacuum(air * 1e-9) * 1e9 - vacuum)).toBeLessThan(0.0001);
});
