import * as mathjs from 'mathjs';

/** A number with its unit, typed as text. mathjs's own Unit objects fit this shape too. */
export interface Unit {
  /** The number in another unit of the same kind. */
  toNumber(unit: string): number;
  /** The same quantity, to be printed in another unit. */
  to(unit: string): Unit;
  multiply(factor: Unit | number): Unit;
  divide(divisor: Unit | number): Unit;
  pow(power: number): Unit;
  toString(): string;
}

/** True for a quantity made by `unit`, or by any copy of mathjs. */
export function isUnit(value: unknown): value is Unit {
  if (typeof value !== 'object' || value === null) return false;
  const some = value as Partial<Unit> & { isUnit?: unknown };
  return some.isUnit === true && typeof some.toNumber === 'function';
}

/** Signs that people type, in the letters that mathjs reads. */
const spelled: readonly (readonly [RegExp, string])[] = [
  [/[−–]/g, '-'],
  [/[µμ](?=[a-z])/g, 'u'],
  [/°/g, ' deg'],
  [/[′']/g, ' arcmin'],
  [/[″"]/g, ' arcsec'],
  [/[\u00c5\u212b]/g, ' angstrom'],
  [/\b(?:lines?|grooves?)\s*\/\s*/g, '/'],
  [/^\s*([-+])\s+(?=[\d.])/, '$1'],
  [/²/g, '^2'],
  [/³/g, '^3'],
];

/**
 * A number with its unit, read from text.
 *
 * @param text such as `0.32 deg`, `550 nm`, `600 /mm`, `300 lines/mm`, `5893 Å`, `20″`
 * @returns a quantity that converts itself: `unit('0.32 deg').toNumber('mrad')`
 * @throws TypeError when text is not text
 * @throws RangeError when the text cannot be read; the message names the part
 * @example unit('0.32 deg').toNumber('rad') // 0.00558505…
 */
export function unit(text: string): Unit {
  if (typeof text !== 'string')
    throw new TypeError(`unit takes text, as in unit('0.32 deg'); it was given a ${typeof text}.`);
  if (/\d\s*,\s*\d/.test(text))
    throw new RangeError(`unit('${text}') has a comma; write decimals with a point, as in 0.32.`);
  if ((text.match(/[°′″'"]/g) ?? []).length > 1)
    throw new RangeError(`For degrees, minutes and seconds use readAngle; unit reads one number.`);
  if (text.includes('%'))
    throw new RangeError(`unit does not read %; answer a question in % with the plain number.`);
  const plain = spelled.reduce((now, [sign, letters]) => now.replace(sign, letters), text);
  try {
    return unitClass().parse(plain.trim().replace(/(\d)\s+1\s*\//, '$1 /'));
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/\.$/, '') : String(error);
    throw new RangeError(`unit('${text}') cannot be read: ${why}. An example is unit('0.32 deg').`);
  }
}

/** mathjs's own factory of its Unit class; its declarations leave it out. */
type UnitFactory = (parts: Record<string, unknown>) => {
  new (value: number | null, unit: string): Unit;
  parse(text: string): Unit;
};

/** The only fraction that the unit table holds is 5/9, of degrees Fahrenheit. */
class Ratio {
  readonly isFraction = true;
  constructor(
    readonly over: number,
    readonly under = 1,
  ) {}
  valueOf(): number {
    return this.over / this.under;
  }
}

/** Stands where the table holds an imaginary unit (electrical power); no sheet uses it. */
const imaginary = { I: { isComplex: true } };

let made: ReturnType<UnitFactory> | undefined;

/**
 * The Unit class of mathjs over plain numbers, made on first use. Only this part of mathjs is
 * asked for, so that a bundler leaves the other 95 % out and nothing runs at import.
 */
function unitClass(): ReturnType<UnitFactory> {
  made ??= (mathjs as unknown as { createUnitClass: UnitFactory }).createUnitClass({
    config: { number: 'number', predictable: false },
    addScalar: (a: number, b: number) => a + b,
    subtractScalar: (a: number, b: number) => a - b,
    multiplyScalar: (a: number, b: number) => a * b,
    divideScalar: (a: number, b: number) => a / b,
    pow: (a: number, b: number) => a ** b,
    abs: Math.abs,
    fix: Math.trunc,
    round: Math.round,
    equal: (a: number, b: number) => Math.abs(a - b) <= 1e-12 * Math.max(Math.abs(a), Math.abs(b)),
    isNumeric: (value: unknown) => typeof value === 'number',
    format: (value: number) => String(Number(value.toPrecision(12))),
    number: Number,
    Complex: imaginary,
    BigNumber: Number,
    Fraction: Ratio,
  });
  return made;
}
