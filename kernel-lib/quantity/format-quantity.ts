import { toUnit } from './convert';
import { formatNumber } from './format-number';
import { unitNamed } from './unit-table';

/**
 * A value in SI units as text in a unit, such as `40 µm` or `0.787°`.
 *
 * @param value SI: m, rad, 1/m …
 * @param unit such as `um`, `deg`, `%`, `1/mm`
 * @param digits significant digits, 1 to 15
 * @returns the number and its unit; a space between them unless the unit is ° ′ ″
 * @throws RangeError when the unit is not known
 * @example formatQuantity(0.00004, 'um') // '40 µm'
 */
export function formatQuantity(value: number, unit: string, digits = 4): string {
  return formatNumber(toUnit(value, unit), digits) + unitNamed(unit).label;
}
