import { isNoAnswer, kindSaid, type PlainAnswer } from '../answer';
import { type Asked, isProblem, type Kind, notYet, type Problem } from './kind';
import {
  checkNumbers,
  checkUnit,
  generalSlip,
  handedIn,
  missingUncertainty,
  proveHints,
  readNumber,
  roundHonestly,
  saidUnit,
  wrongUncertainty,
} from './number';
import {
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

/** Several numbers, in the order that the question states. */
export interface ListQuestion<Given> extends Asked {
  readonly kind: 'list';
  readonly unit: string;
  /** `relative` is taken of each number's own size; of the largest one's where a number is 0. */
  readonly expected: (given: Given) => readonly number[];
  readonly tolerance: Tolerance;
  /** As for one number, in the same order. */
  readonly uncertainty?: (given: Given) => readonly number[];
  /** As for one number. */
  readonly uncertaintyWithin?: number;
  readonly digits?: number;
  /** Where a slip concerns some of the numbers only, the others are undefined: it is seen whatever stands there. */
  readonly slips: readonly Slip<Given, readonly (number | undefined)[]>[];
}

/** Every number of a list must agree, in the order stated. */
export const listKind: Kind<ListQuestion<object>> = {
  judge(question, given, answer) {
    const { unit, tolerance, slips } = question;
    const expected = question.expected(given);
    const reads = readList(answer, unit, expected.length);
    if (isProblem(reads)) return notYet(reads.problem);
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
      const within = isWhole(tolerance)
        ? ''
        : `, each within the ${shownTolerance(tolerance, unit)} asked for`;
      return { state: 'agrees', shown, message: `${shown}${within}.` };
    }
    const led = workSlips(slips, given, shown, `${shown} were read. `);
    const isOfAll = (wrong: readonly (number | undefined)[]): wrong is readonly number[] =>
      wrong.length === values.length && !wrong.includes(undefined);
    const slip = nearestSlip(led, (wrong) =>
      isOfAll(wrong) ? Math.max(...distances(values, wrong)) : Number.NaN,
    );
    if (slip) return notYet(slip.hint, { shown, slip: slip.name });
    const all = (who: string, order: readonly NumberRead[], targets: readonly number[]) =>
      generalSlip(who, unit, order, targets, tolerance);
    const up = [...reads].sort((a, b) => a.value - b.value);
    const wanted = [...expected].sort((a, b) => a - b);
    const inAnyOrder = up.every(
      (read, i) => distanceFrom(read, wanted[i], tolerance, wanted[i] || largest) <= 1,
    );
    if (inAnyOrder) return notYet(`${shown} were read. ${otherOrder}`, { shown });
    const ofAll = all('they', reads, expected);
    if (ofAll) return notYet(`${shown} were read. ${ofAll}`, { shown });
    const alsoOrder = all('they', up, wanted);
    if (alsoOrder)
      return notYet(
        `${shown} were read. ${alsoOrder} And they are not in the order that it states.`,
        {
          shown,
        },
      );
    // Each number by itself: what the sheet says of it, else what any question can see.
    const plain = workSlips(slips, given, shown, '');
    const hints = near.map((isNear, i) => {
      if (isNear) return undefined;
      const own = nearestSlip(plain, (wrong) => {
        const told = wrong.flatMap((one, n) => (one === undefined ? [] : [n]));
        if (wrong.length !== values.length || told.length === values.length || !told.includes(i))
          return Number.NaN;
        return Math.max(
          ...told.map((n) =>
            distanceFrom(reads[n], wrong[n] as number, tolerance, expected[n] || largest),
          ),
        );
      });
      const general = generalSlip(`number ${i + 1}`, unit, [reads[i]], [expected[i]], tolerance);
      return own ?? (general === undefined ? undefined : { name: undefined, hint: general });
    });
    const said = [...new Set(hints.flatMap((one) => one?.hint ?? []))];
    const name = hints.find((one) => one?.name)?.name;
    return notYet([`${shown} were read.`, whichAgree(near), ...said].join(' '), {
      shown,
      ...(name === undefined ? {} : { slip: name }),
    });
  },

  read({ unit = '1', length }, answer) {
    const reads = readList(answer, unit, length);
    if (isProblem(reads)) return reads;
    return { shown: reads.map((read) => shownNumber(read, unit)).join(', ') };
  },

  check: checkNumbers,
  checkAnnounced: checkUnit,

  worked: (question, given) =>
    workedOut(
      question,
      given,
      (values) => values,
      (wrong, expected) => wrong.map((one, i) => one ?? expected[i]),
    ),

  plain(question, given, values, share) {
    const u = question.uncertainty?.(given);
    return {
      is: 'list',
      items: values.map((value, i) => handedIn(question, value, u?.[i], share)),
    };
  },
  rounded: roundHonestly,
  prove: proveHints,
};

const otherOrder = 'All the numbers are there, but not in the order that the question states.';

/** Read an answer as a list of numbers; the sentence names the item that cannot be read. */
function readList(answer: PlainAnswer, unit: string, length?: number): NumberRead[] | Problem {
  const count = length === undefined ? 'numbers' : `${length} numbers`;
  if (answer.is !== 'list')
    return {
      problem: `A list of ${count} is asked for, ${saidUnit(unit)}, as in [1.2, 3.4]; this is ${kindSaid(answer)}.`,
    };
  const { items } = answer;
  if (length !== undefined && items.length !== length)
    return {
      problem: `A list of ${count} is asked for; yours has ${items.length}. Give them all, in the order that the question states.`,
    };
  const reads: NumberRead[] = [];
  for (const [index, item] of items.entries()) {
    if (isNoAnswer(item)) return { problem: `Number ${index + 1} of your list is still blank.` };
    const read = readNumber(item, unit);
    if (isProblem(read)) return { problem: `Number ${index + 1} of your list: ${read.problem}` };
    reads.push(read);
  }
  return reads;
}

function whichAgree(near: readonly boolean[]): string {
  const right = near.flatMap((isNear, i) => (isNear ? [i + 1] : []));
  if (right.length === 0) return 'None of them agrees yet.';
  const list = right.length === 1 ? `number ${right[0]}` : `numbers ${right.join(', ')}`;
  return `Only ${list} of ${near.length} ${right.length === 1 ? 'agrees' : 'agree'} so far.`;
}
