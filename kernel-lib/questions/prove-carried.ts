import { carriedValues, hasNumbers, judgeCarried } from './carried';
import { judgePlain } from './judge-plain';
import { openForms } from './open-forms';
import type { PlainAnswer } from './plain-answer';
import { answerFrom, roundHonestly } from './prove-question';
import type { AnyKey, AnyOpenQuestion } from './sheet';

export interface CarriedProof {
  readonly failures: readonly { readonly question: string; readonly what: string }[];
  /** `2.8 SLIP` of each slip of an earlier question from which something follows for this student. */
  readonly occurring: readonly string[];
  readonly judged: number;
}

/** Values as a student hands them in, written down as a run would. */
function plainFrom(
  question: AnyOpenQuestion,
  given: object,
  values: readonly number[],
  share = 1,
): PlainAnswer {
  const one = (answer: unknown): PlainAnswer =>
    typeof answer === 'number'
      ? { is: 'number', value: answer }
      : {
          is: 'measured',
          value: (answer as { value: number }).value,
          u: (answer as { u: number }).u * share,
        };
  const answer = answerFrom(question, given, values);
  return Array.isArray(answer) ? { is: 'list', items: answer.map(one) } : one(answer);
}

/**
 * Prove for one student what a key says of errors carried forward: what follows from the right earlier answer is the
 * right answer; what follows from each slip of the earlier question is recognised, also honestly rounded, and earns what
 * the key says, and twice that value does not; nothing follows from an empty or a senseless answer.
 */
export function proveCarried(key: AnyKey, given: object): CarriedProof {
  const failures: { question: string; what: string }[] = [];
  const occurring: string[] = [];
  const forms = openForms(key);
  let judged = 0;
  for (const [id, carried] of Object.entries(key.carried ?? {})) {
    const say = (what: string) => failures.push({ question: id, what });
    const form = forms.find((one) => one.id === id);
    const earlier = forms.find((one) => one.id === carried.follows);
    if (!hasNumbers(form) || !hasNumbers(earlier)) continue;
    const agrees = (answer: PlainAnswer) => judgePlain(form, given, answer).state === 'agrees';
    const marksOf = (answer: PlainAnswer, before: PlainAnswer) => {
      judged += 1;
      const answers = new Map([
        [id, answer],
        [carried.follows, before],
      ]);
      return judgeCarried(key, id, given, answers)?.marks;
    };
    const right = [earlier.expected(given)].flat();
    const own = [form.expected(given)].flat();
    const onward = carriedValues(carried, given, right);
    if (!onward || !agrees(plainFrom(form, given, onward)))
      say(`what follows from the right answer to ${carried.follows} does not agree`);
    const fromRight = plainFrom(earlier, given, right);
    for (const odd of [{ is: 'blank' }, { is: 'number', value: 'NaN' }, { is: 'text', text: '' }])
      if (marksOf(odd as PlainAnswer, fromRight) !== undefined)
        say(`an answer that is ${odd.is} is taken for one that follows`);
    for (const slip of earlier.slips) {
      const wrong = [slip.value(given)].flat();
      const values = wrong.every(Number.isFinite)
        ? carriedValues(carried, given, wrong)
        : undefined;
      if (!values) continue;
      occurring.push(`${id} ${slip.name}`);
      const before = plainFrom(earlier, given, wrong);
      const share = Math.abs(values[0] / own[0]);
      for (const handed of [values, roundHonestly(form, values)]) {
        if (!handed) continue;
        const answer = plainFrom(form, given, handed, share);
        if (!agrees(answer) && marksOf(answer, before) !== carried.marks)
          say(`what follows from the slip “${slip.name}” of ${carried.follows} is not recognised`);
      }
      const doubled = values.map((value) => 2 * value);
      if (marksOf(plainFrom(form, given, doubled, share), before) !== undefined)
        say(
          `twice what follows from the slip “${slip.name}” of ${carried.follows} is taken for it`,
        );
    }
  }
  return { failures, occurring, judged };
}
