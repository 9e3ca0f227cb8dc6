import type { AnyOpenQuestion, FunctionQuestion, ListQuestion, NumberQuestion } from './sheet';

/** A question with every formula worked out for one student, so that judging it many times costs little. */
export interface WorkedQuestion {
  readonly question: AnyOpenQuestion;
  /** What the model would hand in, SI; for a function its values at the points. */
  readonly expected: readonly number[];
  /** Each slip's wrong value in the same form; NaN where it does not exist for these givens. */
  readonly slips: readonly { readonly name: string; readonly value: readonly number[] }[];
}

/** Only numbers, lists and functions have formulas. */
export function workQuestion(question: AnyOpenQuestion, given: object): WorkedQuestion | undefined {
  if (question.kind === 'number') return workNumber(question, given);
  if (question.kind === 'list') return workList(question, given);
  if (question.kind === 'function') return workFunction(question, given);
  return undefined;
}

function workNumber(question: NumberQuestion<object>, given: object): WorkedQuestion {
  const expected = question.expected(given);
  const slips = question.slips.map((slip) => ({ ...slip, worked: slip.value(given) }));
  return {
    question: {
      ...question,
      expected: () => expected,
      slips: slips.map((slip) => ({ ...slip, value: () => slip.worked })),
    },
    expected: [expected],
    slips: slips.map(({ name, worked }) => ({ name, value: [worked] })),
  };
}

function workList(question: ListQuestion<object>, given: object): WorkedQuestion {
  const expected = question.expected(given);
  const slips = question.slips.map((slip) => ({ ...slip, worked: slip.value(given) }));
  return {
    question: {
      ...question,
      expected: () => expected,
      slips: slips.map((slip) => ({ ...slip, value: () => slip.worked })),
    },
    expected,
    slips: slips.map(({ name, worked }) => ({ name, value: worked })),
  };
}

function workFunction(question: FunctionQuestion<object>, given: object): WorkedQuestion {
  const points = question.points(given);
  const index = new Map(points.map((point, i) => [point.join(), i]));
  const table = (values: readonly number[]) => {
    return (...point: number[]) => values[index.get(point.join()) ?? -1];
  };
  const expected = points.map((point) => question.expected(given, ...point));
  const expectedAt = table(expected);
  const slips = question.slips.map((slip) => {
    const wrong = slip.value(given);
    return { ...slip, worked: points.map((point) => wrong(...point)) };
  });
  return {
    question: {
      ...question,
      points: () => points,
      expected: (_given: object, ...point: number[]) => expectedAt(...point),
      slips: slips.map((slip) => ({ ...slip, value: () => table(slip.worked) })),
    },
    expected,
    slips: slips.map(({ name, worked }) => ({ name, value: worked })),
  };
}
