import { formatNumber } from '../quantity/format-number';
import { toUnit } from '../quantity/known-unit';
import { blank } from './blank';
import { judge } from './judge';
import { judgeSamples } from './judge-function';
import type { AnyOpenQuestion, Tolerance } from './sheet';
import type { Finding } from './verdict';
import { type WorkedQuestion, workQuestion } from './worked-question';

/** What is not as it should be with one question for one student. */
export interface QuestionProof {
  readonly failures: readonly string[];
  /** Names of the slips whose value exists for these givens. */
  readonly occurring: readonly string[];
  readonly judged: number;
}

/** Answers that make no sense; each must come back *not yet*, with a sentence. */
const nonsense: readonly unknown[] = [
  blank,
  undefined,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  '',
  '0,32',
  [],
  [blank],
  {},
  true,
  () => {
    throw new Error('on purpose');
  },
];

/** Prove one question with one student's givens. */
export function proveQuestion(question: AnyOpenQuestion, given: object): QuestionProof {
  const worked = workQuestion(question, given);
  const asked = worked?.question ?? question;
  let judged = nonsense.length;
  const found = (values: readonly number[]): Finding => {
    judged++;
    if (asked.kind === 'function') return judgeSamples(asked, given, values);
    return judge(asked, given, answerFrom(asked, given, values));
  };
  const failures = [...proveNonsense(asked, given)];
  if (question.kind === 'word') failures.push(...proveWord(question, given));
  if (!worked) return { failures, occurring: [], judged };
  const occurring = worked.slips.filter(({ value }) => value.every(Number.isFinite));
  failures.push(
    ...proveExpected(worked, found),
    ...occurring.flatMap((slip) => [...proveSlip(worked, slip, found)]),
    ...proveHints(worked, given),
  );
  return { failures, occurring: occurring.map(({ name }) => name), judged };
}

type Found = (values: readonly number[]) => Finding;

function* proveNonsense(question: AnyOpenQuestion, given: object): Generator<string> {
  for (const answer of nonsense) {
    const { state, marks } = judge(question, given, answer);
    if (state !== 'not yet' || marks !== 0)
      yield `a nonsense answer (${typeof answer}) is judged ${state}`;
  }
}

function* proveExpected({ question, expected }: WorkedQuestion, found: Found): Generator<string> {
  if (expected.length === 0) yield 'nothing is expected: the list is empty';
  if (!expected.every(Number.isFinite))
    yield `the expected value is not finite: ${expected.join(', ')}`;
  if ('tolerance' in question && 'relative' in question.tolerance && expected.every((x) => x === 0))
    yield 'the expected value is 0, so a relative tolerance has no width; use { absolute }';
  if (found(expected).state !== 'agrees') yield 'the expected value itself does not agree';
  const rounded = roundHonestly(question, expected);
  const verdict = rounded && found(rounded);
  if (verdict && verdict.state !== 'agrees')
    yield `the tolerance is narrower than honest rounding: ${verdict.shown} does not agree`;
}

function* proveSlip(
  { question }: WorkedQuestion,
  { name, value }: WorkedQuestion['slips'][number],
  found: Found,
): Generator<string> {
  for (const wrong of [value, roundHonestly(question, value)]) {
    if (!wrong) continue;
    const { state, slip } = found(wrong);
    const which = wrong === value ? `“${name}”` : `“${name}”, rounded,`;
    if (state === 'agrees') yield `the slip ${which} agrees: it is nearer than the tolerance`;
    else if (slip !== name) yield `the slip ${which} is taken for ${slip ? `“${slip}”` : 'none'}`;
  }
}

/** No hint may hold the expected value as it would be printed. Two digits or fewer may stand there by chance. */
function* proveHints({ question, expected }: WorkedQuestion, given: object): Generator<string> {
  if (question.kind !== 'number' && question.kind !== 'list') return;
  const { unit, slips } = question;
  const printed = expected.flatMap((value) =>
    [3, 4, 5].map((digits) => formatNumber(toUnit(value, unit), digits)),
  );
  const telling = printed.filter((text) => text.replace(/^0\.0*|\D/g, '').length >= 3);
  for (const { name, hint } of slips) {
    const text = typeof hint === 'function' ? hint(given, '(your value)') : hint;
    const numbers: readonly string[] = text.match(/[−-]?\d+(?:\.\d+)?/g) ?? [];
    const told = telling.find((number) => numbers.includes(number));
    if (told) yield `the hint of the slip “${name}” tells the expected value ${told}`;
  }
}

function* proveWord(
  question: Extract<AnyOpenQuestion, { kind: 'word' }>,
  given: object,
): Generator<string> {
  const accepted = question.accepts(given);
  if (accepted.length === 0) yield 'no word is accepted';
  for (const word of accepted)
    if (judge(question, given, word).state !== 'agrees') yield `the word “${word}” does not agree`;
  for (const { name, words, hint } of question.slips) {
    for (const word of words)
      if (judge(question, given, word).slip !== name)
        yield `the word “${word}” of the slip “${name}” is judged otherwise`;
    const told = accepted.find((word) =>
      new RegExp(`(?<!\\p{L})${word.replace(/[^\p{L}\d]+/gu, '.')}(?!\\p{L})`, 'iu').test(hint),
    );
    if (told) yield `the hint of the slip “${name}” tells the word “${told}”`;
  }
}

/** SI values as a student would hand them in. */
export function answerFrom(
  question: AnyOpenQuestion,
  given: object,
  values: readonly number[],
): unknown {
  if (question.kind !== 'number' && question.kind !== 'list') return undefined;
  const sound = question.uncertainty?.(given);
  const u = Array.isArray(sound) ? sound : [sound];
  const items = values.map((value, i) => {
    const number = toUnit(value, question.unit);
    return 'uncertainties' in question.tolerance
      ? { value: number, u: toUnit(u[i] ?? 0, question.unit) }
      : number;
  });
  return question.kind === 'list' ? items : items[0];
}

/** Rounded to the digits that the sheet asks for, in the stated unit. Not for functions, nor where u says how to round. */
export function roundHonestly(
  question: AnyOpenQuestion & { tolerance?: Tolerance },
  values: readonly number[],
): readonly number[] | undefined {
  if (question.kind !== 'number' && question.kind !== 'list') return undefined;
  if ('uncertainties' in question.tolerance) return undefined;
  const { unit, digits = 3 } = question;
  const scale = toUnit(1, unit);
  return values.map((value) => Number((value * scale).toPrecision(digits)) / scale);
}
