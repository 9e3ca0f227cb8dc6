import { sampleFunction, sampleProblem } from './sample-function';
import type { FunctionQuestion } from './sheet';
import { shownTolerance } from './shown';
import { nearestSlip, workSlips } from './slips';
import { distanceFrom } from './tolerance';
import { type Finding, notYet } from './verdict';

/** Judge a function by its values at points that the sheet does not show. */
export function judgeFunction<Given>(
  question: FunctionQuestion<Given>,
  given: Given,
  answer: unknown,
): Finding {
  const sampled = sampleFunction(answer, question.points(given), question.signature);
  if ('problem' in sampled) return notYet(sampled.problem);
  return judgeSamples(question, given, sampled.samples);
}

/** Judge a function of which only the values at the question's points are at hand. */
export function judgeSamples<Given>(
  question: FunctionQuestion<Given>,
  given: Given,
  samples: readonly unknown[],
): Finding {
  const { tolerance, slips } = question;
  const points = question.points(given);
  if (samples.length !== points.length)
    return notYet(`Your function gave values at ${samples.length} of ${points.length} points.`);
  for (const [i, point] of points.entries()) {
    const problem = sampleProblem(samples[i], point);
    if (problem) return notYet(problem);
  }
  const values = samples as readonly number[];
  const targets = points.map((point) => question.expected(given, ...point));
  const largest = Math.max(...targets.map(Math.abs));
  const distances = (wanted: readonly number[]) =>
    wanted.map((target, i) => distanceFrom({ value: values[i] }, target, tolerance, largest));
  const shown = `a function, tried at ${points.length} points`;
  const off = distances(targets).filter((distance) => !(distance <= 1)).length;
  if (off === 0) {
    const within = shownTolerance(tolerance, '1');
    const of = 'relative' in tolerance ? `${within} of the largest value` : within;
    return { state: 'agrees', shown, message: `Tried at ${points.length} points, within ${of}.` };
  }
  const slip = nearestSlip(workSlips(slips, given, 'your function', ''), (wrong) =>
    Math.max(...distances(points.map((point) => wrong(...point)))),
  );
  if (slip) return notYet(slip.hint, { shown, slip: slip.name });
  const where = off === points.length ? 'at none of' : `at ${points.length - off} of`;
  return notYet(`Your function agrees ${where} the ${points.length} points where it was tried.`, {
    shown,
  });
}
