import { siUnit } from '../quantity/dimension';
import { fromUnit, toUnit, unitNamed } from '../quantity/known-unit';

import { isProblem, type NumberRead, readNumber, saidUnit } from './read-number';
import type { NumberQuestion, Tolerance } from './sheet';
import { shownNumber, shownTolerance } from './shown';
import { nearestSlip, workSlips } from './slips';
import { distanceFrom } from './tolerance';
import { type Finding, notYet } from './verdict';

/** Judge a number against the expected value, then against the slips. */
export function judgeNumber<Given>(
  question: NumberQuestion<Given>,
  given: Given,
  answer: unknown,
): Finding {
  const { unit, tolerance, slips } = question;
  const read = readNumber(answer, unit);
  if (isProblem(read)) return notYet(read.problem);
  const shown = shownNumber(read, unit, tolerance);
  const missing = missingUncertainty(read, tolerance, shown);
  if (missing) return notYet(missing, { shown });
  const expected = question.expected(given);
  if (distanceFrom(read, expected, tolerance) <= 1) {
    const wrong = wrongUncertainty(read, question.uncertainty?.(given), question.uncertaintyWithin);
    if (wrong) return notYet(`${shown} was read. ${wrong}`, { shown });
    const kept = read.u !== undefined && !('uncertainties' in tolerance);
    const aside = kept ? ' Its uncertainty is not asked for here.' : '';
    const within = shownTolerance(tolerance, unit);
    return { state: 'agrees', shown, message: `${shown}, within the ${within} asked for.${aside}` };
  }
  const distance = (target: number) => distanceFrom(read, target, tolerance, target || expected);
  const slip = nearestSlip(workSlips(slips, given, shown), distance);
  if (slip) return notYet(slip.hint, { shown, slip: slip.name });
  const general = generalSlip(read, expected, unit, tolerance);
  return notYet(
    `${shown} was read. ${general ?? `That is not within the ${shownTolerance(tolerance, unit)} asked for.`}`,
    { shown },
  );
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

/** Two slips that any question with a unit or a sign can see: SI handed in for the stated unit, and the wrong sign. */
function generalSlip(
  read: NumberRead,
  expected: number,
  unit: string,
  tolerance: Tolerance,
): string | undefined {
  const near = (value: number) => distanceFrom({ ...read, value }, expected, tolerance) <= 1;
  const raw = toUnit(read.value, unit);
  const si = siUnit(unitNamed(unit).dimension);
  if (fromUnit(1, unit) !== 1 && near(raw))
    return `It looks as if it were meant ${saidUnit(si)}; the question asks for it ${saidUnit(unit)}.`;
  if (expected !== 0 && near(-read.value)) return 'Its size is right; look at its sign.';
  return undefined;
}
