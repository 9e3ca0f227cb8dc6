import { kindSaid, type PlainAnswer } from '../answer';
import { type Asked, isProblem, type Kind, notYet, type Problem } from './kind';

/** One word or short phrase out of several that are right. */
export interface WordQuestion<Given> extends Asked {
  readonly kind: 'word';
  readonly accepts: (given: Given) => readonly string[];
  readonly slips: readonly {
    readonly name: string;
    /** In any case and with any hyphens; of this student’s givens where it depends on them. */
    readonly words: readonly string[] | ((given: Given) => readonly string[]);
    readonly hint: string;
  }[];
}

/** A word is one of those accepted, whatever its case and hyphens. */
export const wordKind: Kind<WordQuestion<object>> = {
  judge(question, given, answer) {
    const read = readWord(answer);
    if (isProblem(read)) return notYet(read.problem);
    const shown = `“${read.word}”`;
    const word = plainWord(read.word);
    const isIn = (words: readonly string[]) => words.some((other) => plainWord(other) === word);
    if (isIn(question.accepts(given))) return { state: 'agrees', shown, message: `${shown}.` };
    const slip = question.slips.find(({ words }) => isIn(wordsOf(words, given)));
    if (slip) return notYet(`${shown} was read. ${slip.hint}`, { shown, slip: slip.name });
    return notYet(`${shown} was read. That is not it yet.`, { shown });
  },

  read(_announced, answer) {
    const read = readWord(answer);
    return isProblem(read) ? read : { shown: `“${read.word}”` };
  },

  check() {},

  *prove(question, given, _expected, judged) {
    const judge = (text: string) => judged({ is: 'text', text });
    const accepted = question.accepts(given);
    if (accepted.length === 0) yield 'no word is accepted';
    for (const word of accepted)
      if (judge(word).state !== 'agrees') yield `the word “${word}” does not agree`;
    for (const { name, words, hint } of question.slips) {
      for (const word of wordsOf(words, given))
        if (judge(word).slip !== name)
          yield `the word “${word}” of the slip “${name}” is judged otherwise`;
      const told = accepted.find((word) =>
        new RegExp(`(?<!\\p{L})${word.replace(/[^\p{L}\d]+/gu, '.')}(?!\\p{L})`, 'iu').test(hint),
      );
      if (told) yield `the hint of the slip “${name}” tells the word “${told}”`;
    }
  },
};

const wordsOf = (
  words: WordQuestion<object>['slips'][number]['words'],
  given: object,
): readonly string[] => (typeof words === 'function' ? words(given) : words);

/** The same word whatever its case, spaces, hyphens and full stop: "Blue-green." is "blue green". */
function plainWord(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s\-‐–_]+/g, ' ')
    .replace(/[.!?"'“”‘’]/g, '')
    .trim();
}

/** Read an answer as a word. */
function readWord(answer: PlainAnswer): { readonly word: string } | Problem {
  if (answer.is !== 'text')
    return {
      problem: `A word in quotes is asked for, as in 'purple'; this is ${kindSaid(answer)}.`,
    };
  if (answer.text.length > 80)
    return {
      problem: 'One word or a short phrase is asked for; this is longer than 80 characters.',
    };
  return { word: answer.text.trim() };
}
