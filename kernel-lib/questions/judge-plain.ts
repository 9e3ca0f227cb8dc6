import { blank } from './blank';
import { judge } from './judge';
import { judgeSamples } from './judge-function';
import { Unreadable } from './kind-of';
import { longestList, longestText, type PlainAnswer, type PlainNumber } from './plain-answer';
import { isProblem, mathjsName, type NumberRead, readNumber } from './read-number';
import type { Question } from './sheet';
import { notYet, type Verdict, verdictOf } from './verdict';

const odd = () => new RangeError('An answer does not have the form that plainAnswer gives it.');

function numberOf(value: unknown): number {
  if (typeof value === 'number') return value;
  if (value === 'NaN' || value === 'Infinity' || value === '-Infinity') return Number(value);
  throw odd();
}

function textOf(value: unknown): string {
  if (typeof value === 'string') return value.slice(0, longestText);
  throw odd();
}

/** A quantity made of its SI value: it knows its own kind only. */
function quantityOf(value: number, si: string, text: string) {
  return {
    isUnit: true,
    toNumber(unit: string): number {
      if (unit !== mathjsName(si)) throw new RangeError(`${text} is not in ${unit}.`);
      return value;
    },
    toString: () => text,
  };
}

function revived(plain: PlainAnswer, depth: number): unknown {
  switch (plain?.is) {
    case 'blank':
      return blank;
    case 'number':
      return numberOf(plain.value);
    case 'measured':
      return { value: numberOf(plain.value), u: numberOf(plain.u) };
    case 'quantity':
      return quantityOf(numberOf(plain.value), textOf(plain.si), textOf(plain.text));
    case 'text':
      return textOf(plain.text);
    case 'list':
      if (!Array.isArray(plain.items) || plain.items.length > longestList || depth > 2) throw odd();
      return plain.items.map((item) => revived(item, depth + 1));
    case 'samples':
      return () => Number.NaN;
    case 'failed':
    case 'other':
      return new Unreadable(textOf(plain.is === 'other' ? plain.kind : plain.problem));
    default:
      throw odd();
  }
}

/** The numbers of an answer that was written down as plain JSON, SI; undefined where it holds none. */
export function plainNumbers(plain: PlainAnswer, unit: string): number[] | undefined {
  const answer = revived(plain, 0);
  const reads = (Array.isArray(answer) ? answer : [answer]).map((one) => readNumber(one, unit));
  return reads.some(isProblem) ? undefined : reads.map((read) => (read as NumberRead).value);
}

/**
 * Judge an answer that was written down as plain JSON, without the code that made it.
 *
 * @param question of a sheet, or the open form of a sealed one out of the key
 * @param given this student's givens
 * @param plain as `plainAnswer` wrote it; it may come from an untrusted process
 * @throws RangeError when it does not have that form
 */
export function judgePlain<Given>(
  question: Question<Given>,
  given: Given,
  plain: PlainAnswer,
): Verdict {
  // What was stopped for its time, or could not be called, is told as that, whatever was asked for.
  if (plain?.is === 'failed')
    return verdictOf(question, notYet(textOf(plain.problem).slice(0, 400)));
  if (plain?.is === 'samples' && question.kind === 'function') {
    if (!Array.isArray(plain.values) || plain.values.length > longestList) throw odd();
    const values = plain.values.map((value: PlainNumber) => numberOf(value));
    return verdictOf(question, judgeSamples(question, given, values));
  }
  return judge(question, given, revived(plain, 0));
}
