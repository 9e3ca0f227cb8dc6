import { kindOf } from './kind-of';
import { isProblem, type Problem } from './read-number';
import type { WordQuestion } from './sheet';
import { type Finding, notYet } from './verdict';

/** The same word whatever its case, spaces, hyphens and full stop: "Blue-green." is "blue green". */
export function plainWord(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s\-‐–_]+/g, ' ')
    .replace(/[.!?"'“”‘’]/g, '')
    .trim();
}

/** Read an answer as a word. */
export function readWord(answer: unknown): { readonly word: string } | Problem {
  if (typeof answer !== 'string')
    return { problem: `A word in quotes is asked for, as in 'purple'; this is ${kindOf(answer)}.` };
  if (answer.length > 80)
    return {
      problem: 'One word or a short phrase is asked for; this is longer than 80 characters.',
    };
  return { word: answer.trim() };
}

/** Judge a word: one of those accepted, whatever its case and hyphens. */
export function judgeWord<Given>(
  question: WordQuestion<Given>,
  given: Given,
  answer: unknown,
): Finding {
  const read = readWord(answer);
  if (isProblem(read)) return notYet(read.problem);
  const shown = `“${read.word}”`;
  const word = plainWord(read.word);
  const isIn = (words: readonly string[]) => words.some((other) => plainWord(other) === word);
  if (isIn(question.accepts(given))) return { state: 'agrees', shown, message: `${shown}.` };
  const slip = question.slips.find(({ words }) => isIn(words));
  if (slip) return notYet(`${shown} was read. ${slip.hint}`, { shown, slip: slip.name });
  return notYet(`${shown} was read. That is not it yet.`, { shown });
}
