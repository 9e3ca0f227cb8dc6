import { isBlank } from './blank';
import { judgeFunction } from './judge-function';
import { judgeList } from './judge-list';
import { judgeNumber } from './judge-number';
import { judgeSealed } from './judge-sealed';
import { judgeWord } from './judge-word';
import type { Question } from './sheet';
import { type Finding, notYet, type Verdict, verdictOf } from './verdict';

function find<Given>(question: Question<Given>, given: Given, answer: unknown): Finding {
  if (question.kind === 'written')
    return {
      state: 'recorded',
      message: 'Write in the text cell of this question; a person reads and marks it.',
    };
  if (isBlank(answer)) return notYet('There is no answer yet: put yours in the place of blank.');
  switch (question.kind) {
    case 'number':
      return judgeNumber(question, given, answer);
    case 'list':
      return judgeList(question, given, answer);
    case 'function':
      return judgeFunction(question, given, answer);
    case 'word':
      return judgeWord(question, given, answer);
    case 'sealed':
      return judgeSealed(question, answer);
  }
}

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
  return verdictOf(question, find(question, given, answer));
}
