import { type PlainAnswer, plainAnswer, type Sampling } from './plain-answer';
import { workNow } from './progress';

/**
 * Everything that `check` was last given on the sheet being worked on, as plain JSON. The marker and
 * `prove` read it after a notebook has run.
 *
 * @param samplings for questions that ask for a function: where to try it, by question id
 * @returns by question id; empty before `begin`
 */
export function plainAnswers(
  samplings: Readonly<Record<string, Sampling>> = {},
): Record<string, PlainAnswer> {
  const answers = [...(workNow()?.answers ?? [])];
  return Object.fromEntries(
    answers.map(([id, answer]) => [id, plainAnswer(answer, samplings[id])]),
  );
}
