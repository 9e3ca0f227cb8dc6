import * as mathjs from 'mathjs';
import type { Unit } from './unit-shape';

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
export function unitClass(): ReturnType<UnitFactory> {
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
