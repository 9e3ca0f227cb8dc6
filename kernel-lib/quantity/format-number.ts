import { requireWhole } from '../numerics/require';

const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** A whole number as superscript, for powers of ten. */
function superscript(value: number): string {
  const digits = [...String(Math.abs(value))].map((digit) => superscripts[Number(digit)]);
  return (value < 0 ? '⁻' : '') + digits.join('');
}

/**
 * A number for people: rounded, without trailing zeros, with a true minus sign, and as a power of
 * ten outside 0.0001 to 10⁷.
 *
 * @param value any number
 * @param digits significant digits, 1 to 15
 * @returns text such as `0.787`, `−12.5`, `5.893 × 10⁻⁷`; `NaN` and `∞` as such
 * @throws RangeError when digits lies outside 1 to 15
 * @example formatNumber(0.78704, 3) // '0.787'
 */
export function formatNumber(value: number, digits = 4): string {
  requireWhole('The number of digits', digits, 1, 15);
  if (Number.isNaN(value)) return 'NaN';
  const sign = value < 0 ? '−' : '';
  const size = Math.abs(value);
  if (size === Number.POSITIVE_INFINITY) return `${sign}∞`;
  if (size === 0) return '0';
  const [mantissa, power] = size.toExponential(digits - 1).split('e');
  const exponent = Number(power);
  if (exponent < -4 || exponent >= 7)
    return `${sign}${Number(mantissa)} × 10${superscript(exponent)}`;
  return sign + plainDecimals(Number(size.toPrecision(digits)));
}

/** Decimal notation, also where JavaScript itself would write 1e-7. */
function plainDecimals(size: number): string {
  const text = String(size);
  return text.includes('e') ? size.toFixed(20).replace(/\.?0+$/, '') : text;
}
