import { describeDimension, siUnit } from '../quantity/dimension';
import { fromUnit, knownUnit, unitNamed } from '../quantity/known-unit';
import { isMeasured } from '../quantity/measured';
import { isUnit, type Unit } from '../quantity/unit';

import { kindOf } from './kind-of';
import { say } from './say';

/** An answer read as a number: SI, with its standard uncertainty if it had one. */
export interface NumberRead {
  readonly value: number;
  readonly u?: number;
}

/** What is wrong with an answer, as a sentence for the student. */
export interface Problem {
  readonly problem: string;
}

export const isProblem = (read: object): read is Problem => 'problem' in read;

const spokenUnits: Readonly<Record<string, string>> = {
  '1': 'as a plain number',
  deg: 'in degrees',
  arcmin: 'in minutes of arc',
  arcsec: 'in seconds of arc',
  '%': 'in percent',
};

/** How the unit is said in a sentence: "in µm", "in degrees", "as a plain number". */
export function saidUnit(unit: string): string {
  const { name, label } = unitNamed(unit);
  return spokenUnits[name] ?? `in ${label.trim() || unit}`;
}

function asked(unit: string): string {
  return unit === '1' || unit === '%'
    ? `The question asks for a number ${saidUnit(unit)}.`
    : `The question asks for a number ${saidUnit(unit)}, or one with its unit such as unit('1.5 ${unit}').`;
}

/** The text of a unit as mathjs reads it: it has no `1/m`, only `m^-1`. */
export const mathjsName = (si: string) => (si === '1' ? 'm/m' : si.replace(/^1\/(.+)$/, '$1^-1'));

/** SI units of the kinds of quantity that a message can name. */
export const unitKinds = ['m', 'rad', '1', '1/m', 's', 'K', 'm^2', 'rad/m', '1/s'];

/** A typed quantity as a number of an SI unit; undefined when it is of another kind. */
export function numberIn(quantity: Unit, si: string): number | undefined {
  // mathjs would read a bare unit as one of it.
  if ((quantity as { value?: unknown }).value === null) return undefined;
  try {
    const value = Number(quantity.toNumber(mathjsName(si)));
    return Number.isNaN(value) ? undefined : value;
  } catch {
    return undefined;
  }
}

function readQuantity(quantity: Unit, unit: string): NumberRead | Problem {
  const text = say(quantity, 'This quantity', 60);
  const { dimension } = unitNamed(unit);
  const value = numberIn(quantity, siUnit(dimension));
  if (value !== undefined) return Number.isFinite(value) ? { value } : readPlain(value, unit);
  if (!/^[-+.\d]/.test(text))
    return { problem: `${text} is a unit without a number. ${asked(unit)}` };
  const kind = unitKinds.find((si) => numberIn(quantity, si) !== undefined);
  const is = kind ? describeDimension(unitNamed(kind).dimension) : 'a quantity of another kind';
  return {
    problem: `${text} is ${is}, but ${describeDimension(dimension)} is asked for. ${asked(unit)}`,
  };
}

function readPlain(value: number, unit: string): NumberRead | Problem {
  if (Number.isFinite(value)) return { value: fromUnit(value, unit) };
  if (Number.isNaN(value))
    return {
      problem:
        'Your value is NaN, "not a number": somewhere 0/0, a square root of a negative number or the arcsine of more than 1 was taken, or a name is still blank.',
    };
  return { problem: 'Your value is infinite: somewhere it was divided by zero.' };
}

function readText(text: string, unit: string): Problem {
  const said = `'${text.slice(0, 40)}' is text in quotes, not a number.`;
  if (/\d\s*,\s*\d/.test(text))
    return { problem: `${said} Write it without quotes and decimals with a point, as in 0.32.` };
  const [, number, name] = /^\s*([-+−\d.eE]+)\s*(\S.*)?$/.exec(text) ?? [];
  if (number && name && knownUnit(name.trim()))
    return { problem: `${said} With a unit, write unit('${number} ${name.trim()}').` };
  if (number) return { problem: `${said} Leave the quotes out. ${asked(unit)}` };
  return { problem: `${said} ${asked(unit)}` };
}

/**
 * Read an answer as a number: a plain number counts in the stated unit, and so does a measured
 * value; a typed quantity converts itself.
 */
export function readNumber(answer: unknown, unit: string): NumberRead | Problem {
  if (typeof answer === 'number') return readPlain(answer, unit);
  if (typeof answer === 'string') return readText(answer, unit);
  if (isUnit(answer)) return readQuantity(answer, unit);
  if (isMeasured(answer)) {
    const value = readPlain(answer.value, unit);
    if (isProblem(value)) return value;
    const u = Math.abs(fromUnit(answer.u, unit));
    if (Number.isFinite(u)) return { ...value, u };
    return { problem: 'The uncertainty of your value is not a finite number.' };
  }
  if (Array.isArray(answer) && answer.length === 1)
    return { problem: `A list of one was handed in; leave the brackets out. ${asked(unit)}` };
  const typed = typeof answer === 'function' ? ' Call it, or hand in its result.' : '';
  return { problem: `This is ${kindOf(answer)}, not a number.${typed} ${asked(unit)}` };
}
