import {
  isNoAnswer,
  isSkeleton,
  nothingOf,
  type PlainAnswer,
  plainAnswer,
  type Sampling,
  whyNothing,
} from './answer';
import { functionKind } from './kinds/function';
import { type Finding, isProblem, type Kind, notYet } from './kinds/kind';
import { listKind } from './kinds/list';
import { numberKind } from './kinds/number';
import { wordKind } from './kinds/word';
import type { AnyOpenQuestion, AnyQuestion, OpenQuestion, Question, SealedQuestion } from './sheet';
import { type Verdict, verdictOf } from './verdict';

/** Every kind of question that can be judged by value. */
export const kinds: Readonly<Record<AnyOpenQuestion['kind'], Kind<OpenQuestion<object>>>> = {
  number: numberKind,
  list: listKind,
  function: functionKind,
  word: wordKind,
};

/**
 * Judge one answer. A pure function: `check`, the marker and `prove` all ask it.
 *
 * @param question of a sheet, or the open form of a sealed one out of the key
 * @param given this student's givens
 * @param answer a number in the stated unit, a measured value, a typed quantity, a list, a function, a word
 * @returns the verdict; wrong shapes give *not yet* with a sentence that helps
 * @throws only what the sheet's own formulas throw
 * @example
 * const question = {
 *   id: '2.1', kind: 'number', asks: 'Width', marks: 1, unit: 'mm',
 *   expected: (given) => given.width, tolerance: { relative: 0.01 }, slips: [],
 * };
 * judge(question, { width: um(40) }, 0.04).state // 'agrees'
 */
export function judge<Given>(question: Question<Given>, given: Given, answer: unknown): Verdict {
  return judgePlain(question, given, plainAnswer(answer, samplingOf(question, given as object)));
}

/** Where an answer to a question must be called before it is plain; undefined where it need not be. */
export function samplingOf(question: AnyQuestion, given: object): Sampling | undefined {
  if (question.kind === 'sealed' || question.kind === 'written') return undefined;
  return kinds[question.kind].sampling?.(question, given);
}

/**
 * Judge an answer that was written down as plain JSON, without the code that made it.
 *
 * @param question of a sheet, or the open form of a sealed one out of the key
 * @param given this student's givens
 * @param answer as `plainAnswer` writes it; one out of an untrusted process as `readAnswer` reads it
 */
export function judgePlain<Given>(
  question: Question<Given>,
  given: Given,
  answer: PlainAnswer,
): Verdict {
  return verdictOf(question, find(question, given as object, answer));
}

function find(question: AnyQuestion, given: object, answer: PlainAnswer): Finding {
  // What was stopped for its time, or could not be called, is told as that, whatever was asked for.
  if (answer.is === 'failed')
    return {
      state: isSkeleton(answer) ? 'open' : 'not yet',
      message: answer.problem.slice(0, 400),
    };
  if (question.kind === 'written')
    return {
      state: 'recorded',
      message: 'Write in the text cell of this question; a person reads and marks it.',
    };
  const nothing = nothingOf(answer);
  if (nothing)
    return { state: 'open', message: `There is no answer yet: ${nothing} came. ${whyNothing}` };
  if (isNoAnswer(answer))
    return { state: 'open', message: 'There is no answer yet: put yours in the place of blank.' };
  if (question.kind === 'sealed') return taken(question, answer);
  return kinds[question.kind].judge(question, given, answer);
}

/** Take a sealed answer down. Its shape is looked at now, its value when the sheet is marked. */
function taken(question: SealedQuestion, answer: PlainAnswer): Finding {
  const read = kinds[question.answer].read(question, answer);
  if (isProblem(read)) return notYet(read.problem);
  return {
    state: 'recorded',
    shown: read.shown,
    message: `${read.shown}. This one is marked later; you may change it until you hand in.`,
  };
}
