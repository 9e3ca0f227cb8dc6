import { toUnit } from '../quantity/known-unit';
import type { PlainAnswer } from './answer';
import { judgePlain } from './judge';
import { isProblem } from './kinds/kind';
import type { ListQuestion } from './kinds/list';
import { type NumberQuestion, readNumber } from './kinds/number';
import { type AnyCarried, type AnyKey, type AnyOpenQuestion, openForms } from './sheet';

/** An answer that is right for the student's own answer to an earlier question. */
export interface CarriedFinding {
  /** The earlier question. */
  readonly follows: string;
  readonly marks: number;
  readonly shown: string;
  readonly message: string;
}

type WithNumbers = NumberQuestion<object> | ListQuestion<object>;

/** Only numbers can be worked on, and be worked out from others. */
export const hasNumbers = (form: AnyOpenQuestion | undefined): form is WithNumbers =>
  form?.kind === 'number' || form?.kind === 'list';

/**
 * The same question, asked for what is right after a wrong beginning. Its uncertainty keeps its share of the value; as
 * the student's own uncertainty of the beginning comes in, the usual factor of two is allowed whatever the sheet asks.
 */
function carriedForm(form: WithNumbers, given: object, values: readonly number[]): WithNumbers {
  const right = [form.expected(given)].flat();
  const sound = [form.uncertainty?.(given) ?? []].flat();
  const scaled = sound.map((u, i) => Math.abs((u * values[i]) / right[i]));
  const uncertainty = sound.length === 0 ? undefined : scaled;
  if (form.kind === 'list')
    return {
      ...form,
      expected: () => values,
      slips: [],
      ...(uncertainty ? { uncertainty: () => uncertainty, uncertaintyWithin: undefined } : {}),
    };
  return {
    ...form,
    expected: () => values[0],
    slips: [],
    ...(uncertainty ? { uncertainty: () => uncertainty[0], uncertaintyWithin: undefined } : {}),
  };
}

/**
 * What would be right for a student who goes on from these values of the earlier question.
 *
 * @param earlier SI
 * @returns SI; undefined where nothing sensible follows from them: no number, or nothing at all
 */
export function carriedValues(
  { value }: AnyCarried,
  given: object,
  earlier: readonly number[],
): readonly number[] | undefined {
  const values = [value(given, earlier)].flat();
  const isSound = values.length > 0 && values.every((one) => Number.isFinite(one) && one !== 0);
  return isSound ? values : undefined;
}

/** The numbers of an answer, SI; undefined where it holds anything else. */
function numbersIn(answer: PlainAnswer, unit: string): number[] | undefined {
  const items = answer.is === 'list' ? answer.items : [answer];
  const reads = items.map((item) => readNumber(item, unit));
  const values = reads.flatMap((read) => (isProblem(read) ? [] : [read.value]));
  return values.length === reads.length ? values : undefined;
}

/**
 * Look whether an answer is right for the student's own answer to the earlier question that the key names.
 *
 * @param id of a question that does not agree
 * @param answers of the student, as plain JSON
 * @returns what the key gives it; undefined where the key says nothing of it, or the answer is wrong in itself
 */
export function judgeCarried(
  key: AnyKey,
  id: string,
  given: object,
  answers: ReadonlyMap<string, PlainAnswer>,
): CarriedFinding | undefined {
  const carried = Object.hasOwn(key.carried ?? {}, id) ? key.carried?.[id] : undefined;
  if (!carried) return undefined;
  const { follows, marks } = carried;
  const forms = openForms(key);
  const form = forms.find((one) => one.id === id);
  const earlierForm = forms.find((one) => one.id === follows);
  const [answer, earlierAnswer] = [answers.get(id), answers.get(follows)];
  if (!hasNumbers(form) || !hasNumbers(earlierForm) || !answer || !earlierAnswer) return undefined;
  const isList = earlierForm.kind === 'list';
  if ((earlierAnswer.is === 'list') !== isList) return undefined;
  const earlier = numbersIn(earlierAnswer, earlierForm.unit);
  if (!earlier?.every((one) => Number.isFinite(one) && one !== 0)) return undefined;
  if (earlier.length !== [earlierForm.expected(given)].flat().length) return undefined;
  const values = carriedValues(carried, given, earlier);
  if (!values || values.some((one) => !Number.isFinite(toUnit(one, form.unit)))) return undefined;
  const { state, shown } = judgePlain(carriedForm(form, given, values), given, answer);
  if (state !== 'agrees' || shown === undefined) return undefined;
  const itself = judgePlain(earlierForm, given, earlierAnswer).state === 'agrees';
  return {
    follows,
    marks,
    shown,
    message: `${shown} is right for your own answer to ${follows}${itself ? '' : ', which is not right itself'}; for that the mark scheme gives ${marks} of ${form.marks}.`,
  };
}
