import { expect } from 'vitest';
import { setDisplayPort } from '../../kernel-lib/display/display';
import { judgeReturn, samplings } from '../../kernel-lib/marking/judge-return';
import { plainAnswer } from '../../kernel-lib/questions/answer';
import { givensFor } from '../../kernel-lib/questions/draw';
import type { AnyKey, AnyQuestion } from '../../kernel-lib/questions/sheet';
import { begin, check, endWork, setSheetSource, standing } from '../../kernel-lib/questions/work';

/** Student numbers of all lengths that are allowed, the sample student's among them. */
export const twentyStudents: readonly string[] = [
  ...['000000', '0000', '1234', '9999', '20417', '77777', '204117', '204118', '204119', '900001'],
  ...['123456', '654321', '1000000', '7654321', '31415926', '27182818', '161803398', '141421356'],
  ...['1732050807', '9876543210'],
];

/** What a student hands in: a number, a measured value, a list, a function, a word. */
// biome-ignore lint/suspicious/noExplicitAny: whatever a cell may hand to check
type Answer = any;

/** One sheet at work: givens from `begin`, verdicts from `check` and from the marker. */
export function deskFor(key: AnyKey) {
  const { name, questions } = key.sheet;
  setDisplayPort({ show: () => {} });
  setSheetSource(
    (asked) => (asked === name ? key.sheet : undefined),
    () => [name],
  );
  // biome-ignore lint/suspicious/noExplicitAny: givens are read by name, as in a cell
  let given: any;
  // The marker draws them anew, and no cell has had its hands on those.
  // biome-ignore lint/suspicious/noExplicitAny: as above
  let drawn: any;
  const question = (id: string) => questions.find((one) => one.id === id) as AnyQuestion;

  /** What `check` says at once: `recorded` for a sealed question. */
  const atOnce = (id: string, answer: Answer) => {
    check(id, answer);
    return standing()?.questions.find((one) => one.question === id)?.state;
  };
  /** What the marker says, to whom answers come as JSON. */
  const marked = (id: string, answer: Answer) => {
    const sampling = samplings(key, drawn).find((one) => one.id === id)?.sampling;
    const plain = JSON.parse(JSON.stringify(plainAnswer(answer, sampling)));
    return judgeReturn(key, drawn, new Map([[id, plain]])).find((one) => one.question === id)
      ?.state;
  };

  return {
    begin(student: string) {
      endWork();
      given = begin(name, student);
      drawn = givensFor(key.sheet, student);
      return given;
    },
    /** Both ways of judging say the same; a sealed question is recorded first. */
    agrees(id: string, answer: Answer): boolean {
      const [now, later] = [atOnce(id, answer), marked(id, answer)];
      if (question(id).kind === 'sealed') expect(now, id).toBe('recorded');
      else expect(now, id).toBe(later);
      return later === 'agrees';
    },
  };
}

type Desk = ReturnType<typeof deskFor>;

/**
 * The value judged right lies within a part of the tolerance of this one: what lies that much inside
 * the tolerance on either side agrees, what lies that much outside does not.
 *
 * @param value as handed in, in the unit that the question states: a number or a list of numbers
 * @param tolerance half-width within which the sheet says that answers agree, in that unit; of a list for each
 * @param part how much of the tolerance the two ways of working it out may differ
 */
export function expectJudged(
  desk: Desk,
  id: string,
  value: number | readonly number[],
  tolerance: number | readonly number[],
  part = 0.2,
): void {
  const list = typeof value === 'number' ? [value] : value;
  const widths = typeof tolerance === 'number' ? list.map(() => tolerance) : tolerance;
  const handIn = (items: readonly number[]) => (typeof value === 'number' ? items[0] : items);
  const tell = `${id}: ${list.join(', ')}`;
  expect(desk.agrees(id, handIn(list)), tell).toBe(true);
  list.forEach((_, i) => {
    const off = (by: number) =>
      handIn(list.map((each, k) => (k === i ? each + by * widths[i] : each)));
    for (const side of [-1, 1]) {
      expect(desk.agrees(id, off(side * (1 - part))), `${tell} inside`).toBe(true);
      expect(desk.agrees(id, off(side * (1 + part))), `${tell} outside`).toBe(false);
      expect(desk.agrees(id, off(side * 3)), `${tell} far off`).toBe(false);
    }
  });
}
