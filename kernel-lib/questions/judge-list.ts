import { isBlank } from './blank';
import { missingUncertainty, wrongUncertainty } from './judge-number';
import { kindOf } from './kind-of';
import { isProblem, type NumberRead, type Problem, readNumber, saidUnit } from './read-number';
import type { ListQuestion } from './sheet';
import { shownNumber, shownTolerance } from './shown';
import { nearestSlip, workSlips } from './slips';
import { distanceFrom } from './tolerance';
import { type Finding, notYet } from './verdict';

/** Read an answer as a list of numbers; the sentence names the item that cannot be read. */
export function readList(answer: unknown, unit: string, length?: number): NumberRead[] | Problem {
  const list = ArrayBuffer.isView(answer) ? Array.from(answer as Float64Array) : answer;
  const count = length === undefined ? 'numbers' : `${length} numbers`;
  if (!Array.isArray(list))
    return {
      problem: `A list of ${count} is asked for, ${saidUnit(unit)}, as in [1.2, 3.4]; this is ${kindOf(answer)}.`,
    };
  if (length !== undefined && list.length !== length)
    return {
      problem: `A list of ${count} is asked for; yours has ${list.length}. Give them all, in the order that the question states.`,
    };
  const reads: NumberRead[] = [];
  for (const [index, item] of Array.from(list).entries()) {
    if (isBlank(item)) return { problem: `Number ${index + 1} of your list is still blank.` };
    const read = readNumber(item, unit);
    if (isProblem(read)) return { problem: `Number ${index + 1} of your list: ${read.problem}` };
    reads.push(read);
  }
  return reads;
}

/** Judge a list: every number must agree, in the order stated. */
export function judgeList<Given>(
  question: ListQuestion<Given>,
  given: Given,
  answer: unknown,
): Finding {
  const { unit, tolerance, slips } = question;
  const expected = question.expected(given);
  const reads = readList(answer, unit, expected.length);
  if ('problem' in reads) return notYet(reads.problem);
  const shown = reads.map((read) => shownNumber(read, unit, tolerance)).join(', ');
  const missing = reads.map((read) => missingUncertainty(read, tolerance, shown)).find(Boolean);
  if (missing) return notYet(missing, { shown });

  const largest = Math.max(...expected.map(Math.abs));
  const distances = (values: readonly number[], targets: readonly number[]) =>
    targets.map((target, i) =>
      distanceFrom({ ...reads[i], value: values[i] }, target, tolerance, target || largest),
    );
  const values = reads.map(({ value }) => value);
  const near = distances(values, expected).map((distance) => distance <= 1);
  if (near.every(Boolean)) {
    const sound = question.uncertainty?.(given);
    const { uncertaintyWithin } = question;
    const wrong = reads
      .map((read, i) => wrongUncertainty(read, sound?.[i], uncertaintyWithin))
      .find(Boolean);
    if (wrong) return notYet(`${shown} were read. ${wrong}`, { shown });
    const within = shownTolerance(tolerance, unit);
    return { state: 'agrees', shown, message: `${shown}, each within the ${within} asked for.` };
  }
  const slip = nearestSlip(workSlips(slips, given, shown, `${shown} were read. `), (wrong) =>
    wrong.length === values.length ? Math.max(...distances(values, wrong)) : Number.NaN,
  );
  if (slip) return notYet(slip.hint, { shown, slip: slip.name });
  const up = (list: readonly number[]) => [...list].sort((a, b) => a - b);
  const inAnyOrder = distances(up(values), up(expected)).every((distance) => distance <= 1);
  const told = inAnyOrder
    ? 'All the numbers are there, but not in the order that the question states.'
    : whichAgree(near);
  return notYet(`${shown} were read. ${told}`, { shown });
}

function whichAgree(near: readonly boolean[]): string {
  const right = near.flatMap((isNear, i) => (isNear ? [i + 1] : []));
  if (right.length === 0) return 'None of them agrees yet.';
  const list = right.length === 1 ? `number ${right[0]}` : `numbers ${right.join(', ')}`;
  return `Only ${list} of ${near.length} ${right.length === 1 ? 'agrees' : 'agree'} so far.`;
}
