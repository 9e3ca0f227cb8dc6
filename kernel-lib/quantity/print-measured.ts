import { formatNumber } from './format-number';
import { toUnit, unitNamed } from './known-unit';

/** `brief`: 12.34(5); `plus-minus`: 12.34 ± 0.05. */
export type PrintStyle = 'brief' | 'plus-minus';

export interface PrintMeasuredOptions {
  /** The value and u are SI and are printed in this unit; without it, as they are and without a unit. */
  readonly unit?: string;
  readonly style?: PrintStyle;
  /** Significant digits of u: 1 or 2. Without it: 2 where u begins with 1 or 2, else 1 (common practice, no source). */
  readonly digits?: 1 | 2;
}

/** u rounded to its digits, and the power of ten of its last one. */
function roundedUncertainty(u: number, digits?: 1 | 2): { last: number; units: number } {
  const two = u.toExponential(1);
  const count = digits ?? (two[0] === '1' || two[0] === '2' ? 2 : 1);
  const [mantissa, power] = u.toExponential(count - 1).split('e');
  // 0.096 to one digit is 0.1, which begins with 1 and so is written with two: 0.10.
  if (digits === undefined && mantissa === '1') return { last: Number(power) - 1, units: 10 };
  return {
    last: Number(power) - count + 1,
    units: Math.round(Number(mantissa) * 10 ** (count - 1)),
  };
}

/** Rounded at a power of ten: halves go away from zero, on both sides alike, and nothing is −0. */
function atPlace(value: number, last: number): string {
  const size = Math.abs(value);
  const text = last >= 0 ? String(Math.round(size / 10 ** last) * 10 ** last) : size.toFixed(-last);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/**
 * A measured value as text, the value rounded to the last digit of its uncertainty.
 *
 * @param x value and standard uncertainty u ≥ 0, both SI when a unit is given
 * @param options unit, style and digits of u
 * @returns `12.34(5)`, `(12.34 ± 0.05) mm`, `5.893(5) × 10⁻⁷`
 * @throws RangeError when the unit is not known
 * @see JCGM 100:2008, 7.2.2 and 7.2.6 (at most two digits of u)
 * @example printMeasured({ value: 12.3412, u: 0.0512 }) // '12.34(5)'
 */
export function printMeasured(
  x: { readonly value: number; readonly u: number },
  { unit, style = 'brief', digits }: PrintMeasuredOptions = {},
): string {
  const value = unit === undefined ? x.value : toUnit(x.value, unit);
  const u = unit === undefined ? x.u : Math.abs(toUnit(x.u, unit));
  const label = unit === undefined ? '' : unitNamed(unit).label;
  const exponent = Math.floor(Math.log10(Math.max(Math.abs(value), u)));
  const power = exponent < -4 || exponent >= 7 ? exponent : 0;
  const digit = Number.isFinite(value) && Number.isFinite(u) && u > 0;
  const { last, units } = digit
    ? roundedUncertainty(u / 10 ** power, digits)
    : { last: -99, units: 0 };
  // No uncertainty, or one below the 15 digits that a number holds: each is written by itself.
  if (last < -15) {
    const spread = style === 'brief' ? `(${formatNumber(u)})` : ` ± ${formatNumber(u)}`;
    return wrapped(formatNumber(value, 12) + spread, label, style);
  }
  const number = atPlace(value / 10 ** power, last);
  const spread = atPlace(units * 10 ** last, last);
  // 12.34(5): digits in the last places; where u reaches the units it is written out, 12.3(1.2).
  const inDigits =
    last >= 0 || units * 10 ** last < 1 ? String(last >= 0 ? spread : units) : spread;
  const text = style === 'brief' ? `${number}(${inDigits})` : `${number} ± ${spread}`;
  const ten = power === 0 ? '' : ` × 10${formatNumber(10 ** power, 1).replace(/^.*10/, '')}`;
  return wrapped(text, ten + label, style);
}

function wrapped(text: string, label: string, style: PrintStyle): string {
  return style === 'plus-minus' && label ? `(${text})${label}` : text + label;
}
