import { unitNamed } from './unit-table';

/**
 * A value in SI units, written in the unit that people read.
 *
 * @param value SI: m, rad, 1/m …
 * @param unit such as `um`, `deg`, `arcsec`, `%`, `1/mm`
 * @returns the number of those units
 * @throws RangeError when the unit is not known
 * @example toUnit(0.00004, 'um') // 40
 */
export function toUnit(value: number, unit: string): number {
  const { multiplier, divisor } = unitNamed(unit);
  return multiplier === 1 ? value * divisor : (value / multiplier) * divisor;
}

/**
 * A value in a unit that people type, in SI units.
 *
 * @param value the number of units
 * @param unit such as `um`, `deg`, `arcsec`, `%`, `1/mm`
 * @returns SI: m, rad, 1/m …
 * @throws RangeError when the unit is not known
 * @example fromUnit(40, 'um') // 0.00004
 */
export function fromUnit(value: number, unit: string): number {
  const { multiplier, divisor } = unitNamed(unit);
  return divisor === 1 ? value * multiplier : (value / divisor) * multiplier;
}
