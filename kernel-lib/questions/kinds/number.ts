import { describeDimension, siUnit } from '../../quantity/dimension';
import { formatNumber } from '../../quantity/format-number';
import { fromUnit, knownUnit, toUnit, unitNamed } from '../../quantity/known-unit';
import { isFunction, kindSaid, type PlainAnswer, plainNumber, unitKinds } from '../answer';
import {
  type Announced,
  type Asked,
  type Finding,
  isProblem,
  type Kind,
  notYet,
  type Problem,
  type Refuse,
} from './kind';
import {
  checkTolerance,
  distanceFrom,
  isWhole,
  type NumberRead,
  nearestSlip,
  type Slip,
  shownNumber,
  shownTolerance,
  type Tolerance,
  workedOut,
  workSlips,
} from './tolerance';

/** A number with a unit: the student answers in `unit` (or with a typed unit); `expected` is SI. */
export interface NumberQuestion<Given> extends Asked {
  readonly kind: 'number';
  /** `deg`, `arcmin`, `mm`, `um`, `nm`, `1`, `%` … */
  readonly unit: string;
  readonly expected: (given: Given) => number;
  readonly tolerance: Tolerance;
  /** Standard uncertainty that sound work gives, SI. Needed with `{ uncertainties: k }`: the student's own must lie near it, see `uncertaintyWithin`. */
  readonly uncertainty?: (given: Given) => number;
  /** Factor within which the student's own uncertainty must lie of the sound one: 1.2 sees a forgotten √2; 2 if not stated. */
  readonly uncertaintyWithin?: number;
  /** Significant digits that honest rounding keeps, for `prove`; 3 if not stated. */
  readonly digits?: number;
  readonly slips: readonly Slip<Given, number>[];
}

/** A number is compared with the expected value, then with the slips. */
export const numberKind: Kind<NumberQuestion<object>> = {
  judge(question, given, answer) {
    const { unit, tolerance, slips } = question;
    const read = readNumber(answer, unit);
    if (isProblem(read)) return notYet(read.problem);
    const shown = shownNumber(read, unit, tolerance);
    const missing = missingUncertainty(read, tolerance, shown);
    if (missing) return notYet(missing, { shown });
    const expected = question.expected(given);
    if (isSwapped(read, expected))
      return notYet(
        `${shown} was read. Value and uncertainty seem to have changed places: measured(value, u).`,
        { shown },
      );
    if (distanceFrom(read, expected, tolerance) <= 1) {
      const sound = question.uncertainty?.(given);
      const wrong = wrongUncertainty(read, sound, question.uncertaintyWithin);
      if (wrong) return notYet(`${shown} was read. ${wrong}`, { shown });
      const kept = read.u !== undefined && !('uncertainties' in tolerance);
      const aside = kept ? ' Its uncertainty is not asked for here.' : '';
      const within = isWhole(tolerance)
        ? ''
        : `, within the ${shownTolerance(tolerance, unit)} asked for`;
      return { state: 'agrees', shown, message: `${shown}${within}.${aside}` };
    }
    const distance = (target: number, within = tolerance) =>
      distanceFrom(read, target, within, target || expected);
    const slip = nearestSlip(workSlips(slips, given, shown), distance);
    if (slip) return notYet(slip.hint, { shown, slip: slip.name });
    const general = generalSlip('it', unit, [read], [expected], tolerance);
    if (general) return notYet(`${shown} was read. ${general}`, { shown });
    return (
      slipInOtherUnit(question, given, read, shown) ??
      notYet(`${shown} was read. ${notNear(read, tolerance, unit)}${farOff(read, expected)}`, {
        shown,
      })
    );
  },

  read({ unit = '1' }, answer) {
    const read = readNumber(answer, unit);
    return isProblem(read) ? read : { shown: shownNumber(read, unit) };
  },

  check: checkNumbers,
  checkAnnounced: checkUnit,

  worked: (question, given) =>
    workedOut(
      question,
      given,
      (value) => [value],
      (wrong) => [wrong],
    ),

  plain: (question, given, [value], share) =>
    handedIn(question, value, question.uncertainty?.(given), share),
  rounded: roundHonestly,
  prove: proveHints,
};

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

/**
 * Read an answer as a number: a plain number counts in the stated unit, and so does a measured
 * value; a typed quantity converts itself.
 */
export function readNumber(answer: PlainAnswer, unit: string): NumberRead | Problem {
  switch (answer.is) {
    case 'number':
      return readPlain(Number(answer.value), unit);
    case 'text':
      return readText(answer.text, unit);
    case 'quantity':
      return readQuantity(answer, unit);
    case 'measured': {
      const value = readPlain(Number(answer.value), unit);
      if (isProblem(value)) return value;
      const u = Math.abs(fromUnit(Number(answer.u), unit));
      if (Number.isFinite(u)) return { ...value, u };
      return { problem: 'The uncertainty of your value is not a finite number.' };
    }
  }
  if (answer.is === 'list' && answer.items.length === 1)
    return { problem: `A list of one was handed in; leave the brackets out. ${asked(unit)}` };
  const typed = isFunction(answer) ? ' Call it, or hand in its result.' : '';
  const both =
    answer.is === 'list' && answer.items.length === 2
      ? ' If these are a value and its uncertainty, they go together as measured(value, u).'
      : '';
  return { problem: `This is ${kindSaid(answer)}, not a number.${typed}${both} ${asked(unit)}` };
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
  const [, whole, minutes] = /^\s*(\d+)\s*°\s*(\d+)\s*[′'’]/.exec(text) ?? [];
  if (minutes !== undefined && unit === 'deg')
    return {
      problem: `${said} An angle in degrees and minutes is written degrees(${whole}, ${minutes}) / degrees(1).`,
    };
  if (/\d\s*,\s*\d/.test(text))
    return { problem: `${said} Write it without quotes and decimals with a point, as in 0.32.` };
  const [, number, name] = /^\s*([-+−\d.eE]+)\s*(\S.*)?$/.exec(text) ?? [];
  if (number && name && knownUnit(name.trim()))
    return { problem: `${said} With a unit, write unit('${number} ${name.trim()}').` };
  if (number) return { problem: `${said} Leave the quotes out. ${asked(unit)}` };
  return { problem: `${said} ${asked(unit)}` };
}

function readQuantity(
  { value: handed, si, text }: Extract<PlainAnswer, { is: 'quantity' }>,
  unit: string,
): NumberRead | Problem {
  const value = Number(handed);
  const { dimension } = unitNamed(unit);
  if (si === siUnit(dimension) && !Number.isNaN(value))
    return Number.isFinite(value) ? { value } : readPlain(value, unit);
  if (!/^[-+.\d]/.test(text))
    return { problem: `${text} is a unit without a number. ${asked(unit)}` };
  const isNamed = unitKinds.includes(si) && !Number.isNaN(value);
  const is = isNamed ? describeDimension(unitNamed(si).dimension) : 'a quantity of another kind';
  return {
    problem: `${text} is ${is}, but ${describeDimension(dimension)} is asked for. ${asked(unit)}`,
  };
}

/** A sentence when the tolerance counts in uncertainties and the answer has none. */
export function missingUncertainty(
  read: NumberRead,
  tolerance: Tolerance,
  shown: string,
): string | undefined {
  if (!('uncertainties' in tolerance) || (read.u ?? 0) > 0) return undefined;
  return `${shown} was read, without an uncertainty. Hand in the value with its standard uncertainty, as measured(value, u).`;
}

/** A sentence when a stated uncertainty is off by more than a factor. */
export function wrongUncertainty(read: NumberRead, sound?: number, within = 2): string | undefined {
  if (sound === undefined || read.u === undefined) return undefined;
  if (read.u > within * sound)
    return 'The value is compatible, but its uncertainty is larger than your readings deserve.';
  if (read.u < sound / within)
    return 'The value is compatible, but its uncertainty is smaller than your readings can carry.';
  return undefined;
}

/** A slip whose value was handed in for another unit than the stated one, besides. */
function slipInOtherUnit(
  { unit, tolerance, slips }: NumberQuestion<object>,
  given: object,
  read: NumberRead,
  shown: string,
): Finding | undefined {
  const worked = workSlips(slips, given, shown, '');
  for (const other of otherUnits(unit)) {
    const value = read.value * (fromUnit(1, other) / fromUnit(1, unit));
    const slip = nearestSlip(worked, (target) => distanceFrom({ value }, target, tolerance));
    if (!slip || Math.abs(value) < 1e-300) continue;
    const meant = `It looks as if it were meant ${saidUnit(other)}; the question asks for it ${saidUnit(unit)}.`;
    const also = slip.hint.replace(`${shown} was read. `, '');
    return notYet(`${shown} was read. ${meant} And beside that: ${also}`, {
      shown,
      slip: slip.name,
    });
  }
  return undefined;
}

function notNear({ value }: NumberRead, tolerance: Tolerance, unit: string): string {
  if (!isWhole(tolerance))
    return `That is not within the ${shownTolerance(tolerance, unit)} asked for.`;
  return Number.isInteger(value) ? 'That is not the number yet.' : 'A whole number is asked for.';
}

/** An uncertainty as large as what is asked for, of a value that is next to nothing. */
const isSwapped = ({ value, u = 0 }: NumberRead, expected: number) =>
  u > 10 * Math.abs(value) && Math.abs(u / expected - 1) < 0.2;

/** Where a value is out of all proportion: what may have been forgotten. */
function farOff({ value }: NumberRead, expected: number): string {
  const ratio = Math.abs(value / expected);
  if (!(ratio > 1e3 || (ratio < 1e-3 && ratio > 0)) || !Number.isFinite(ratio)) return '';
  return ` It is more than a thousand times too ${ratio > 1 ? 'large' : 'small'}. Are all lengths in metres, and is nothing without its brackets? a / b * c is a times c over b; a / (b * c) divides by both.`;
}

/** Units that are taken for one another. */
const takenForOneAnother = [
  ['m', 'cm', 'mm', 'um', 'nm'],
  ['rad', 'deg', 'arcmin', 'arcsec'],
  ['1', '%'],
  ['1/m', '1/cm', '1/mm'],
];

/** Units that a value may have been meant in, though `unit` was asked for. */
function otherUnits(unit: string): string[] {
  const si = siUnit(unitNamed(unit).dimension);
  const family = takenForOneAnother.find((names) => names.includes(unit)) ?? [si];
  return family.filter((name) => name !== unit);
}

/** The functions that a cell has for units, and what they make. */
const makers: Readonly<Record<string, readonly [string, string]>> = {
  um: ['um', 'metres'],
  nm: ['nm', 'metres'],
  mm: ['mm', 'metres'],
  cm: ['cm', 'metres'],
  mrad: ['mrad', 'radians'],
  deg: ['degrees', 'radians'],
  arcmin: ['arcminutes', 'radians'],
  arcsec: ['arcseconds', 'radians'],
};

/**
 * What any question with a unit or a sign can see of wrong values: all of them handed in for another unit than the
 * stated one, or with the wrong sign. Values that 0 would be near to tell nothing.
 *
 * @param who `it`, `they`, `number 2`: what the sentence speaks of
 */
export function generalSlip(
  who: string,
  unit: string,
  reads: readonly NumberRead[],
  expected: readonly number[],
  tolerance: Tolerance,
): string | undefined {
  const nearIf = (factor: number) =>
    reads.every(({ value, u }, i) => {
      const scaled = {
        value: value * factor,
        ...(u === undefined ? {} : { u: u * Math.abs(factor) }),
      };
      const isNear = ({ value: one }: NumberRead) =>
        distanceFrom({ ...scaled, value: one }, expected[i], tolerance) <= 1;
      return isNear(scaled) && !isNear({ value: 0 });
    });
  const subject = who[0].toUpperCase() + who.slice(1);
  const [looks, object] =
    who === 'they' ? ['look as if they were', 'them'] : ['looks as if it were', 'it'];
  const own = fromUnit(1, unit);
  const [maker, made] = makers[unit] ?? [];
  // `um(x)` of what was in metres already.
  if (maker !== undefined && nearIf(1 / own ** 2))
    return `${maker}(x) makes ${made} of x, and what you gave it was in ${made} already. To have ${who === 'they' ? 'them' : 'it'} ${saidUnit(unit)}, divide by ${maker}(1).`;
  const meant = otherUnits(unit).find((name) => nearIf(fromUnit(1, name) / own));
  if (meant !== undefined)
    return `${subject} ${looks} meant ${saidUnit(meant)}; the question asks for ${object} ${saidUnit(unit)}.`;
  if (!nearIf(-1)) return undefined;
  if (who === 'they') return 'Their sizes are right; look at their signs.';
  return who === 'it'
    ? 'Its size is right; look at its sign.'
    : `${subject} has the right size; look at its sign.`;
}

/** What questions that ask for one number and for several have in common. */
type AsksNumbers = Pick<
  NumberQuestion<object>,
  'unit' | 'tolerance' | 'uncertaintyWithin' | 'digits'
> & {
  readonly uncertainty?: unknown;
  readonly slips: readonly Pick<Slip<object, unknown>, 'name' | 'hint'>[];
};

export function checkUnit({ unit }: Pick<Announced, 'unit'>, refuse: Refuse): void {
  if (unit === undefined || !knownUnit(unit))
    refuse(`the unit ${JSON.stringify(unit)} is not known; for a plain number write '1'.`);
}

export function checkNumbers(question: AsksNumbers, refuse: Refuse): void {
  checkUnit(question, refuse);
  checkTolerance(question.tolerance, question.uncertainty !== undefined, refuse);
  const { uncertaintyWithin: within } = question;
  if (within !== undefined && !(Number.isFinite(within) && within > 1))
    refuse(`\`uncertaintyWithin\` is a factor above 1, such as 1.2 or 2; it is ${within}.`);
}

/** A value, SI, as a student would hand it in. */
export function handedIn(
  { unit, tolerance }: Pick<AsksNumbers, 'unit' | 'tolerance'>,
  value: number,
  u = 0,
  share = 1,
): PlainAnswer {
  const plain = plainNumber(toUnit(value, unit));
  return 'uncertainties' in tolerance
    ? { is: 'measured', value: plain, u: plainNumber(toUnit(u, unit) * share) }
    : { is: 'number', value: plain };
}

/** Rounded to the digits that the sheet asks for, in the stated unit. Not where u says how to round. */
export function roundHonestly(
  { unit, tolerance, digits = 3 }: AsksNumbers,
  values: readonly number[],
): readonly number[] | undefined {
  if ('uncertainties' in tolerance) return undefined;
  const scale = toUnit(1, unit);
  return values.map((value) => Number((value * scale).toPrecision(digits)) / scale);
}

/** No hint may hold the expected value as it would be printed. Two digits or fewer may stand there by chance. */
export function* proveHints(
  { unit, slips }: AsksNumbers,
  given: object,
  expected: readonly number[],
): Generator<string> {
  const printed = expected.flatMap((value) =>
    [3, 4, 5].map((digits) => formatNumber(toUnit(value, unit), digits)),
  );
  const telling = printed.filter((text) => text.replace(/^0\.0*|\D/g, '').length >= 3);
  for (const { name, hint } of slips) {
    const text = typeof hint === 'function' ? hint(given, '(your value)') : hint;
    const numbers: readonly string[] = text.match(/[−-]?\d+(?:\.\d+)?/g) ?? [];
    const told = telling.find((number) => numbers.includes(number));
    if (told) yield `the hint of the slip “${name}” tells the expected value ${told}`;
  }
}
