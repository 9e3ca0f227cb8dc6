import { writeAngle } from '../../quantity/angle';
import { formatQuantity, unitNamed } from '../../quantity/known-unit';
import { printMeasured } from '../../quantity/print-measured';
import type { Refuse, Worked } from './kind';

/** How near a value must come. `relative`: of the expected size; `absolute`: SI; `uncertainties`: within k standard uncertainties of a measured value; `whole`: a whole number, and that very one. */
export type Tolerance =
  | { readonly relative: number }
  | { readonly absolute: number }
  | { readonly uncertainties: number }
  | { readonly whole: true };

type WholeNumber = Extract<Tolerance, { whole: true }>;
export const isWhole = (tolerance: Tolerance): tolerance is WholeNumber => 'whole' in tolerance;

/** An answer read as a number: SI, with its standard uncertainty if it had one. */
export interface NumberRead {
  readonly value: number;
  readonly u?: number;
}

/** A typical wrong way, as a formula, so that a wrong value can be recognised and answered with its own hint. */
export interface Slip<Given, Value> {
  readonly name: string;
  /** The wrong value, in the same SI unit as the expected one. */
  readonly value: (given: Given) => Value;
  /** How near a value must come to be taken for it, where that is not the tolerance of the question: for what varies. */
  readonly within?: Tolerance;
  /** Never gives the answer away. `shown` is the student's own value as text. */
  readonly hint: string | ((given: Given, shown: string) => string);
}

/** Rounding in the last places never decides. */
const rounding = 1e-12;
/** A whole number that was computed may be off by this. */
const besideWhole = 0.01;

/**
 * How far an answer lies from a target, in half-widths of the tolerance: 1 or less is near enough.
 * Infinity when the tolerance has no width and they differ; NaN when the target is NaN.
 *
 * @param size sets the scale of a relative tolerance
 */
export function distanceFrom(
  read: NumberRead,
  target: number,
  tolerance: Tolerance,
  size: number = target,
): number {
  const width = halfWidth(tolerance, size, read.u ?? 0) + rounding * Math.abs(target);
  const distance = Math.abs(read.value - target);
  return distance === 0 ? 0 : distance / width;
}

/** The half-width around a value within which an answer counts as that value. */
function halfWidth(tolerance: Tolerance, size: number, u: number): number {
  if ('absolute' in tolerance) return tolerance.absolute;
  if ('whole' in tolerance) return besideWhole;
  if ('relative' in tolerance) return tolerance.relative * Math.abs(size);
  return tolerance.uncertainties * u;
}

/** A slip with its wrong value already worked out for one student. */
export interface WorkedSlip<Value> {
  readonly name: string;
  readonly value: Value;
  readonly within?: Tolerance;
  readonly hint: string;
}

/** Work every slip out; a hint that is plain text is led in by what was read. */
export function workSlips<Given, Value>(
  slips: readonly Slip<Given, Value>[],
  given: Given,
  shown: string,
  lead = `${shown} was read. `,
): WorkedSlip<Value>[] {
  return slips.map(({ name, value, within, hint }) => ({
    name,
    value: value(given),
    within,
    hint: typeof hint === 'function' ? hint(given, shown) : lead + hint,
  }));
}

/** The slip that comes nearest, by a distance in which anything above 1 is too far (so is NaN). */
export function nearestSlip<Value>(
  slips: readonly WorkedSlip<Value>[],
  distance: (value: Value, within?: Tolerance) => number,
): WorkedSlip<Value> | undefined {
  let nearest: WorkedSlip<Value> | undefined;
  let least = 1;
  for (const slip of slips) {
    const far = distance(slip.value, slip.within);
    if (!(far <= 1) || (nearest && far >= least)) continue;
    nearest = slip;
    least = far;
  }
  return nearest;
}

/** A value as the verdict shows it: in the stated unit, and for degrees also in ° ′ ″. */
export function shownNumber(read: NumberRead, unit: string, tolerance?: Tolerance): string {
  if (read.u !== undefined && read.u > 0)
    return printMeasured({ value: read.value, u: read.u }, { unit });
  const text = formatQuantity(read.value, unit, digitsFor(tolerance, read.value));
  const isDegrees = unitNamed(unit).name === 'deg' && Number.isFinite(read.value);
  return isDegrees && Math.abs(read.value) < 100
    ? `${text} (${writeAngle(read.value, 'arcsecond')})`
    : text;
}

/** Enough digits that two values on either side of the tolerance look different. */
export function digitsFor(tolerance: Tolerance | undefined, size: number): number {
  if (!tolerance || 'uncertainties' in tolerance) return 4;
  if ('whole' in tolerance) return 6;
  const relative =
    'relative' in tolerance ? tolerance.relative : tolerance.absolute / Math.abs(size || 1);
  const digits = Math.ceil(-Math.log10(relative)) + 1;
  return Math.min(12, Math.max(4, Number.isFinite(digits) ? digits : 4));
}

/** A tolerance in words: "0.5 %", "0.2 mm", "2 standard uncertainties". */
export function shownTolerance(tolerance: Exclude<Tolerance, WholeNumber>, unit: string): string {
  if ('relative' in tolerance) return formatQuantity(tolerance.relative, '%', 3);
  if ('absolute' in tolerance) return formatQuantity(tolerance.absolute, unit, 3);
  const k = tolerance.uncertainties;
  return `${k} standard ${k === 1 ? 'uncertainty' : 'uncertainties'}`;
}

/** Refuse a tolerance that is none, or that lets nearly anything agree. */
export function checkTolerance(
  tolerance: Tolerance,
  hasUncertainty: boolean,
  refuse: Refuse,
): void {
  const [[name, size] = ['', 0], ...more] = Object.entries(tolerance ?? {});
  if (more.length > 0 || !['relative', 'absolute', 'uncertainties', 'whole'].includes(name))
    refuse(
      'the tolerance is one of { relative }, { absolute }, { uncertainties } or { whole: true }.',
    );
  if (name === 'whole') {
    if (size !== true) refuse('a whole number is asked for with { whole: true }.');
    return;
  }
  if (!(Number.isFinite(size) && size > 0)) refuse(`the tolerance must be above 0; it is ${size}.`);
  if (name === 'relative' && size >= 0.5)
    refuse(`a relative tolerance of ${size} lets nearly anything agree; 0.005 means 0.5 %.`);
  if (name === 'uncertainties' && size > 5)
    refuse(`${size} standard uncertainties let nearly anything agree; 2 or 3 are usual.`);
  if (name === 'uncertainties' && !hasUncertainty)
    refuse(
      'a tolerance in uncertainties needs `uncertainty: (given) => …`, the standard uncertainty that sound work gives; otherwise a large enough one would always agree.',
    );
}

/**
 * What a question expects of one student, and each slip's wrong value, worked out once.
 *
 * @param handed the numbers that a student who made a slip would hand in
 */
export function workedOut<Value, Wrong, Asks extends object>(
  question: Asks & {
    readonly expected: (given: object) => Value;
    readonly slips: readonly Slip<object, Wrong>[];
  },
  given: object,
  numbers: (value: Value) => readonly number[],
  handed: (wrong: Wrong, expected: Value) => readonly number[],
): Worked<Asks> {
  const expected = question.expected(given);
  const slips = question.slips.map((slip) => ({ ...slip, worked: slip.value(given) }));
  return {
    question: {
      ...question,
      expected: () => expected,
      slips: slips.map((slip) => ({ ...slip, value: () => slip.worked })),
    },
    expected: numbers(expected),
    slips: slips.map(({ name, worked }) => ({ name, value: handed(worked, expected) })),
  };
}
