import { formatNumber } from '../../quantity/format-number';
import {
  isFunction,
  kindSaid,
  type PlainAnswer,
  plainNumber,
  saidPoint,
  sampleProblem,
} from '../answer';
import { type Asked, type Finding, type Kind, notYet } from './kind';
import {
  checkTolerance,
  distanceFrom,
  isWhole,
  nearestSlip,
  type Slip,
  shownTolerance,
  type Tolerance,
  workSlips,
} from './tolerance';

/** A function the student writes, sampled at points that the sheet does not show. SI in, SI out. */
export interface FunctionQuestion<Given> extends Asked {
  readonly kind: 'function';
  /** Such as `(s: number) => number`, told when something else is handed in. */
  readonly signature: string;
  readonly points: (given: Given) => readonly (readonly number[])[];
  readonly expected: (given: Given, ...point: number[]) => number;
  /** `relative` is taken of the largest expected value over the points. */
  readonly tolerance: Tolerance;
  readonly slips: readonly Slip<Given, (...point: number[]) => number>[];
}

/** A function is judged by its values at points that the sheet does not show. */
export const functionKind: Kind<FunctionQuestion<object>> = {
  sampling: (question, given) => ({
    points: question.points(given),
    signature: question.signature,
  }),

  judge(question, given, answer) {
    if (answer.is === 'samples') return judgeSamples(question, given, answer);
    const wanted = `A function ${question.signature} is asked for`;
    return notYet(
      answer.is === 'number'
        ? `${wanted}; this is a number. Hand in the function itself, not its value.`
        : `${wanted}; this is not a function.`,
    );
  },

  read({ signature = '' }, answer) {
    if (isFunction(answer)) return { shown: 'a function' };
    const wanted = `A function ${signature}`.trim();
    return { problem: `${wanted} is asked for; this is ${kindSaid(answer)}.` };
  },

  check(question, refuse) {
    checkTolerance(question.tolerance, false, refuse);
    if ('uncertainties' in question.tolerance)
      refuse('a function has no uncertainty; use { relative } or { absolute }.');
    if (isWhole(question.tolerance))
      refuse('the values of a function are compared with { relative } or { absolute }.');
    checkSignature(question, refuse);
  },
  checkAnnounced: checkSignature,

  worked(question, given) {
    const points = question.points(given);
    const index = new Map(points.map((point, i) => [point.join(), i]));
    const table = (values: readonly number[]) => {
      return (...point: number[]) => values[index.get(point.join()) ?? -1];
    };
    const expected = points.map((point) => question.expected(given, ...point));
    const expectedAt = table(expected);
    const slips = question.slips.map((slip) => {
      const wrong = slip.value(given);
      return { ...slip, worked: points.map((point) => wrong(...point)) };
    });
    return {
      question: {
        ...question,
        points: () => points,
        expected: (_given: object, ...point: number[]) => expectedAt(...point),
        slips: slips.map((slip) => ({ ...slip, value: () => table(slip.worked) })),
      },
      expected,
      slips: slips.map(({ name, worked }) => ({ name, value: worked })),
    };
  },
  plain: (_question, _given, values) => ({ is: 'samples', values: values.map(plainNumber) }),
};

function judgeSamples(
  question: FunctionQuestion<object>,
  given: object,
  { values: samples }: Extract<PlainAnswer, { is: 'samples' }>,
): Finding {
  const { tolerance, slips } = question;
  const points = question.points(given);
  if (samples.length !== points.length)
    return notYet(`Your function gave values at ${samples.length} of ${points.length} points.`);
  const values = samples.map(Number);
  for (const [i, point] of points.entries()) {
    const problem = sampleProblem(values[i], point);
    if (problem) return notYet(problem);
  }
  const targets = points.map((point) => question.expected(given, ...point));
  const largest = Math.max(...targets.map(Math.abs));
  const distances = (wanted: readonly number[]) =>
    wanted.map((target, i) => distanceFrom({ value: values[i] }, target, tolerance, largest));
  const shown = `a function, tried at ${points.length} points`;
  const far = [...distances(targets).entries()].filter(([, distance]) => !(distance <= 1));
  const off = far.length;
  if (off === 0) {
    const within = isWhole(tolerance) ? '' : shownTolerance(tolerance, '1');
    const of = 'relative' in tolerance ? `${within} of the largest value` : within;
    return { state: 'agrees', shown, message: `Tried at ${points.length} points, within ${of}.` };
  }
  const slip = nearestSlip(workSlips(slips, given, 'your function', ''), (wrong) =>
    Math.max(...distances(points.map((point) => wrong(...point)))),
  );
  if (slip) return notYet(slip.hint, { shown, slip: slip.name });
  const where = off === points.length ? 'at none of' : `at ${points.length - off} of`;
  const [[one]] = far;
  const found = `At ${saidPoint(points[one])} it gives ${formatNumber(values[one])}.`;
  return notYet(
    `Your function agrees ${where} the ${points.length} points where it was tried. ${found}`,
    { shown },
  );
}

function checkSignature(
  { signature }: { readonly signature?: string },
  refuse: (what: string) => never,
): void {
  if (!signature) refuse('a function question needs its signature.');
}
