import { isNoAnswer, kindSaid, nothingOf, type PlainAnswer, whyNothing } from '../answer';
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
  type WorkedSlip,
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
    const far: Far = (read, target, within = tolerance) =>
      distanceFrom(read, target, within, target || largest);
    const near = reads.map((read, i) => far(read, expected[i]) <= 1);
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
    const slip = slipOfAll(workSlips(slips, given, shown, `${shown} were read. `), reads, far);
    if (slip) return notYet(slip.hint, { shown, slip: slip.name });
    const ofAll = generalOfAll(question, reads, expected, far);
    if (ofAll) return notYet(`${shown} were read. ${ofAll}`, { shown });
    // Each number by itself: what the sheet says of it, else what any question can see.
    const plain = workSlips(slips, given, shown, '');
    const hints = near.map((isNear, i): { hint?: string; name?: string } => {
      if (isNear) return {};
      const general = () =>
        generalSlip(`number ${i + 1}`, unit, [reads[i]], [expected[i]], tolerance);
      return slipOf(plain, i, reads, far) ?? { hint: general() };
    });
    const said = [...new Set(hints.flatMap(({ hint }) => hint ?? []))];
    const name = hints.find((one) => one.name)?.name;
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

/** How far a number lies from a target, in half-widths of the tolerance. */
type Far = (read: NumberRead, target: number, within?: Tolerance) => number;

type WorkedListSlip = WorkedSlip<readonly (number | undefined)[]>;

/** The slip that all numbers make together. */
function slipOfAll(slips: readonly WorkedListSlip[], reads: readonly NumberRead[], far: Far) {
  return nearestSlip(slips, (wrong, within) =>
    wrong.length === reads.length
      ? Math.max(
          ...wrong.map((one, i) => (one === undefined ? Number.NaN : far(reads[i], one, within))),
        )
      : Number.NaN,
  );
}

/** The slip of some numbers only that is made in the i-th of them. */
function slipOf(
  slips: readonly WorkedListSlip[],
  i: number,
  reads: readonly NumberRead[],
  far: Far,
) {
  return nearestSlip(slips, (wrong, within) => {
    if (wrong.length !== reads.length || wrong[i] === undefined || !wrong.includes(undefined))
      return Number.NaN;
    return Math.max(
      ...wrong.flatMap((one, n) => (one === undefined ? [] : far(reads[n], one, within))),
    );
  });
}

/** What any list can see of all its numbers: their order, another unit or the wrong sign. */
function generalOfAll(
  { unit, tolerance }: ListQuestion<object>,
  reads: readonly NumberRead[],
  expected: readonly number[],
  far: Far,
): string | undefined {
  const up = [...reads].sort((a, b) => a.value - b.value);
  const wanted = [...expected].sort((a, b) => a - b);
  if (up.every((read, i) => far(read, wanted[i]) <= 1)) return otherOrder;
  const general = generalSlip('they', unit, reads, expected, tolerance);
  if (general) return general;
  const also = generalSlip('they', unit, up, wanted, tolerance);
  return also && `${also} And they are not in the order that it states.`;
}

const otherOrder = 'All the numbers are there, but not in the order that the question states.';

/** Read an answer as a list of numbers; the sentence names the item that cannot be read. */
function readList(answer: PlainAnswer, unit: string, length?: number): NumberRead[] | Problem {
  const count = length === undefined ? 'numbers' : `${length} numbers`;
  if (answer.is !== 'list') {
    const inUnit = unit === '1' ? '' : `, ${saidUnit(unit)}`;
    const mends: Partial<Record<PlainAnswer['is'], string>> = {
      number: ' The values stand in square brackets: of (1.2, 3.4) only the last is kept.',
      text: ' The values stand in square brackets, without quotes.',
    };
    return {
      problem: `A list of ${count} is asked for${inUnit}, as in [1.2, 3.4]; this is ${kindSaid(answer)}.${mends[answer.is] ?? ''}`,
    };
  }
  const { items } = answer;
  const empty = items.flatMap((item, index) => (nothingOf(item) ? [index + 1] : []));
  if (empty.length > 0) {
    const [one] = empty;
    const which =
      empty.length === items.length && empty.length > 1
        ? `All ${empty.length} of your list are`
        : empty.length > 1
          ? `Numbers ${empty.join(', ')} of your list are`
          : `Number ${one} of your list is`;
    return { problem: `${which} ${nothingOf(items[one - 1])}. ${whyNothing}` };
  }
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
