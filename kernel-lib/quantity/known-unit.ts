import { combineDimensions, type Dimension, plainNumber } from './dimension';
import { formatNumber } from './format-number';

/** A unit that sheets use. SI value = value × multiplier / divisor; both are kept, so that round values stay round. */
interface KnownUnit {
  /** As typed in a sheet: `um`. */
  readonly name: string;
  /** As printed after a number, space included where one belongs: ` µm`, `°`. */
  readonly label: string;
  readonly multiplier: number;
  readonly divisor: number;
  readonly dimension: Dimension;
}

const length: Dimension = { ...plainNumber, length: 1 };
const angle: Dimension = { ...plainNumber, angle: 1 };
const time: Dimension = { ...plainNumber, time: 1 };
const temperature: Dimension = { ...plainNumber, temperature: 1 };

type Row = readonly [names: string, label: string, over: number, under: number, of: Dimension];

/** First name: the one used in sheets; further names are read too. */
const rows: readonly Row[] = [
  ['1', '', 1, 1, plainNumber],
  ['%', ' %', 1, 100, plainNumber],
  ['lines line', ' lines', 1, 1, plainNumber],
  ['km', ' km', 1e3, 1, length],
  ['m', ' m', 1, 1, length],
  ['cm', ' cm', 1, 1e2, length],
  ['mm', ' mm', 1, 1e3, length],
  ['um µm μm', ' µm', 1, 1e6, length],
  ['nm', ' nm', 1, 1e9, length],
  ['angstrom \u00c5 \u212b', ' Å', 1, 1e10, length],
  ['pm', ' pm', 1, 1e12, length],
  ['rad', ' rad', 1, 1, angle],
  ['mrad', ' mrad', 1, 1e3, angle],
  ['urad µrad μrad', ' µrad', 1, 1e6, angle],
  ['deg ° degree degrees', '°', Math.PI, 180, angle],
  ["arcmin ′ ' arcminute arcminutes", '′', Math.PI, 10800, angle],
  ['arcsec ″ " arcsecond arcseconds', '″', Math.PI, 648000, angle],
  ['s', ' s', 1, 1, time],
  ['ms', ' ms', 1, 1e3, time],
  ['us µs μs', ' µs', 1, 1e6, time],
  ['K', ' K', 1, 1, temperature],
  ['Hz', ' Hz', 1, 1, { ...plainNumber, time: -1 }],
  ['THz', ' THz', 1e12, 1, { ...plainNumber, time: -1 }],
];

const atoms = new Map<string, KnownUnit>();
for (const [names, label, multiplier, divisor, dimension] of rows) {
  const [name, ...others] = names.split(' ');
  const unit = { name, label, multiplier, divisor, dimension };
  for (const key of [name, ...others]) atoms.set(key, unit);
}

/** The simple units by their first names, for messages. */
const unitNames: readonly string[] = rows.map(([names]) => names.split(' ')[0]);

function atom(text: string): KnownUnit | undefined {
  const match = /^(.+?)(?:\^(\d)|([²³]))?$/.exec(text.trim());
  const unit = match ? atoms.get(match[1].trim()) : undefined;
  if (!match || !unit) return undefined;
  const power = match[2] ? Number(match[2]) : match[3] ? '  ²³'.indexOf(match[3]) : 1;
  if (power === 1) return unit;
  return {
    name: `${unit.name}^${power}`,
    label: unit.label + (power === 2 ? '²' : power === 3 ? '³' : `^${power}`),
    multiplier: unit.multiplier ** power,
    divisor: unit.divisor ** power,
    dimension: combineDimensions(plainNumber, unit.dimension, power),
  };
}

const looked = new Map<string, KnownUnit | undefined>();

/** Look a unit up: a simple one (`mm`) or a quotient (`1/mm`, `arcmin/nm`). `undefined` when it is not known. */
export function knownUnit(text: string): KnownUnit | undefined {
  // Sheets ask for the same few units over and over; what students type is not kept.
  if (looked.has(text)) return looked.get(text);
  const unit = quotient(text);
  if (unit && looked.size < 200) looked.set(text, unit);
  return unit;
}

function quotient(text: string): KnownUnit | undefined {
  const [over, ...under] = text.split('/');
  let unit = atom(over);
  for (const part of under) {
    const below = atom(part);
    if (!unit || !below) return undefined;
    unit = {
      name: `${unit.name}/${below.name}`,
      label: `${unit.label || ' 1'}/${below.label.trim()}`,
      multiplier: unit.multiplier * below.divisor,
      divisor: unit.divisor * below.multiplier,
      dimension: combineDimensions(unit.dimension, below.dimension, -1),
    };
  }
  return unit;
}

/**
 * The unit by its name, or a sentence that lists the known ones.
 *
 * @throws RangeError when the unit is not known
 */
export function unitNamed(text: string): KnownUnit {
  const unit = typeof text === 'string' ? knownUnit(text) : undefined;
  if (unit) return unit;
  throw new RangeError(
    `The unit ${JSON.stringify(text)} is not known. Known are ${unitNames.join(', ')}, and quotients of them such as 1/mm or arcmin/nm.`,
  );
}

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
