import { blank, isBlank, type PlainAnswer } from './answer';
import { judge, judgePlain, kinds } from './judge';
import type { Finding, Worked } from './kinds/kind';
import { distanceFrom } from './kinds/tolerance';
import type { AnyOpenQuestion, OpenQuestion } from './sheet';

/** What is not as it should be with one question for one student. */
export interface QuestionProof {
  readonly failures: readonly string[];
  /** Names of the slips whose value exists for these givens. */
  readonly occurring: readonly string[];
  /** How far each of them lies from what agrees: 1 is where it would begin to agree. */
  readonly rooms: readonly { readonly slip: string; readonly times: number }[];
  readonly judged: number;
}

/** Answers that make no sense; each must come back *not yet*, or *open* where it is none, with a sentence. */
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
  const kind = kinds[question.kind];
  const worked = kind.worked?.(question, given);
  const asked = worked?.question ?? question;
  const expected = worked?.expected ?? [];
  let judged = nonsense.length;
  const failures = [...proveNonsense(asked, given)];
  const occurring = worked?.slips.filter(({ value }) => value.every(Number.isFinite)) ?? [];
  if (worked && kind.plain) {
    const { plain } = kind;
    const found = (values: readonly number[]): Finding => {
      judged++;
      return judgePlain(asked, given, plain(asked, given, values));
    };
    failures.push(...proveExpected(worked, found));
    for (const slip of occurring) failures.push(...proveSlip(asked, slip, found));
  }
  const judgedAs = (answer: PlainAnswer) => judgePlain(asked, given, answer);
  failures.push(...(kind.prove?.(asked, given, expected, judgedAs) ?? []));
  const rooms = occurring.flatMap(({ name, value }) => {
    const times = worked && roomFor(worked, value);
    return times === undefined ? [] : [{ slip: name, times }];
  });
  return { failures, occurring: occurring.map(({ name }) => name), rooms, judged };
}

/** In half-widths of the tolerance, where it needs no uncertainty of the student's own. */
function roomFor(
  { question, expected }: Worked<AnyOpenQuestion>,
  wrong: readonly number[],
): number | undefined {
  if (!('tolerance' in question) || 'uncertainties' in question.tolerance) return undefined;
  const { tolerance } = question;
  const largest = Math.max(...expected.map(Math.abs));
  const times = wrong.map((value, i) =>
    distanceFrom({ value }, expected[i], tolerance, expected[i] || largest),
  );
  return Math.max(...times);
}

type Found = (values: readonly number[]) => Finding;

function* proveNonsense(question: AnyOpenQuestion, given: object): Generator<string> {
  for (const answer of nonsense) {
    const { state, marks } = judge(question, given, answer);
    if (state !== (isBlank(answer) ? 'open' : 'not yet') || marks !== 0)
      yield `a nonsense answer (${typeof answer}) is judged ${state}`;
  }
}

const roundedFor = (question: AnyOpenQuestion, values: readonly number[]) =>
  kinds[question.kind].rounded?.(question, values);

function* proveExpected(
  { question, expected }: Worked<OpenQuestion<object>>,
  found: Found,
): Generator<string> {
  if (expected.length === 0) yield 'nothing is expected: the list is empty';
  if (!expected.every(Number.isFinite))
    yield `the expected value is not finite: ${expected.join(', ')}`;
  if ('tolerance' in question && 'relative' in question.tolerance && expected.every((x) => x === 0))
    yield 'the expected value is 0, so a relative tolerance has no width; use { absolute }';
  if (found(expected).state !== 'agrees') yield 'the expected value itself does not agree';
  const rounded = roundedFor(question, expected);
  const verdict = rounded && found(rounded);
  if (verdict && verdict.state !== 'agrees')
    yield `the tolerance is narrower than honest rounding: ${verdict.shown} does not agree`;
}

function* proveSlip(
  question: AnyOpenQuestion,
  { name, value }: Worked<unknown>['slips'][number],
  found: Found,
): Generator<string> {
  for (const wrong of [value, roundedFor(question, value)]) {
    if (!wrong) continue;
    const { state, slip } = found(wrong);
    const which = wrong === value ? `“${name}”` : `“${name}”, rounded,`;
    if (state === 'agrees') yield `the slip ${which} agrees: it is nearer than the tolerance`;
    else if (slip !== name) yield `the slip ${which} is taken for ${slip ? `“${slip}”` : 'none'}`;
  }
}
