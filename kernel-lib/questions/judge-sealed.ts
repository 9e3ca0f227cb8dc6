import { readList } from './judge-list';
import { readWord } from './judge-word';
import { kindOf } from './kind-of';
import { type Problem, readNumber } from './read-number';
import type { SealedQuestion } from './sheet';
import { shownNumber } from './shown';
import { type Finding, notYet } from './verdict';

/** What was read, as text, or what is wrong with its shape. */
function readShape(question: SealedQuestion, answer: unknown): { shown: string } | Problem {
  const unit = question.unit ?? '1';
  if (question.answer === 'number') {
    const read = readNumber(answer, unit);
    return 'problem' in read ? read : { shown: shownNumber(read, unit) };
  }
  if (question.answer === 'list') {
    const reads = readList(answer, unit, question.length);
    if ('problem' in reads) return reads;
    return { shown: reads.map((read) => shownNumber(read, unit)).join(', ') };
  }
  if (question.answer === 'word') {
    const read = readWord(answer);
    return 'problem' in read ? read : { shown: `“${read.word}”` };
  }
  if (typeof answer === 'function') return { shown: 'a function' };
  const wanted = `A function ${question.signature ?? ''}`.trim();
  return { problem: `${wanted} is asked for; this is ${kindOf(answer)}.` };
}

/** Take a sealed answer down. Its shape is looked at now, its value when the sheet is marked. */
export function judgeSealed(question: SealedQuestion, answer: unknown): Finding {
  const read = readShape(question, answer);
  if ('problem' in read) return notYet(read.problem);
  return {
    state: 'recorded',
    shown: read.shown,
    message: `${read.shown}. This one is marked later; you may change it until you hand in.`,
  };
}
