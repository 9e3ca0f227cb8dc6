import { readAngle } from '../../quantity/angle';
import { formatNumber } from '../../quantity/format-number';
import { fromUnit, toUnit } from '../../quantity/known-unit';
import type { Parameter } from './parameters';

const plain = (unit: Parameter['unit']) => unit === '×' || unit === '1';
const marks: Record<Parameter['unit'], string> = {
  nm: ' nm',
  um: ' µm',
  mm: ' mm',
  deg: '°',
  '×': '×',
  '1': '',
};

/** The number of units that a person reads, freed from rounding in the last digits. */
export function inUnit(parameter: Parameter, value: number): number {
  const number = plain(parameter.unit) ? value : toUnit(value, parameter.unit);
  return Number(number.toPrecision(12));
}

/** The value in SI units of so many units. */
export function fromUnits(parameter: Parameter, number: number): number {
  return plain(parameter.unit) ? number : fromUnit(number, parameter.unit);
}

/** A value as it stands in its field: `40 µm`, `4×`, `12.5°`. */
export function writeValue(parameter: Parameter, value: number): string {
  return formatNumber(inUnit(parameter, value), 7) + marks[parameter.unit];
}

/**
 * What was typed into a parameter's field. A number alone is in the parameter's own unit; another
 * unit of length may follow, and an angle may be in ° ′ ″.
 *
 * @param parameter which
 * @param text such as `40`, `40 µm`, `0,04 mm`, `12° 30′`
 * @returns the value, SI, within the parameter's range
 * @throws RangeError with a sentence when it cannot be read, is not whole where it must be, or is out of range
 * @example readValue(parameters.width, '0.04 mm') // 0.00004
 */
export function readValue(parameter: Parameter, text: string): number {
  const words = text.trim().replace(/[−–]/g, '-');
  const example = `${writeValue(parameter, fromUnits(parameter, parameter.low))} to ${writeValue(parameter, fromUnits(parameter, parameter.high))}`;
  if (words === '') {
    throw new RangeError(`${parameter.label} is empty: type a value from ${example}.`);
  }
  if (parameter.unit === 'deg' && !/^[-+]?[\d.,]+$/.test(words)) {
    return within(parameter, readAngle(words));
  }
  const parts = /^([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[-+]?\d+)?)\s*(.*)$/i.exec(words);
  if (!parts) {
    throw new RangeError(
      `${parameter.label}: "${text.trim()}" is not a number. Type a value from ${example}.`,
    );
  }
  const number = Number(parts[1].replace(',', '.'));
  return within(parameter, valueWith(parameter, number, parts[2].trim(), text.trim()));
}

function valueWith(parameter: Parameter, number: number, unit: string, text: string): number {
  if (unit === '') return fromUnits(parameter, number);
  if (plain(parameter.unit)) {
    if (parameter.unit === '×' && /^[x×]$/i.test(unit)) return number;
    throw new RangeError(
      `${parameter.label} has no unit, but "${text}" was typed: leave out "${unit}".`,
    );
  }
  const length = /^(nm|um|µm|μm|mm|cm|m)$/.exec(unit);
  if (parameter.unit === 'deg' || !length) {
    throw new RangeError(
      `${parameter.label}: "${unit}" is not a unit of length. Type ${marks[parameter.unit].trim()}, or another of nm, µm, mm, cm, m.`,
    );
  }
  return fromUnit(number, unit);
}

/** The value when it is in range and whole where it must be, cleared of rounding. */
export function within(parameter: Parameter, value: number): number {
  const { label, low, high, unit } = parameter;
  const number = typeof value === 'number' ? inUnit(parameter, value) : Number.NaN;
  if (!Number.isFinite(number)) {
    throw new RangeError(`${label} must be a number, but ${String(value)} was given.`);
  }
  if (unit === '1' && !Number.isInteger(number)) {
    throw new RangeError(
      `${label} must be a whole number, but ${formatNumber(number)} was given. Try ${Math.min(high, Math.max(low, Math.round(number)))}.`,
    );
  }
  if (number < low || number > high) {
    const [from, to] = [low, high].map((end) => writeValue(parameter, fromUnits(parameter, end)));
    throw new RangeError(
      `${label} goes from ${from} to ${to}, but ${writeValue(parameter, value)} was given.`,
    );
  }
  return fromUnits(parameter, number);
}
