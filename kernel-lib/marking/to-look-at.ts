import type { MarkRecord } from './record';

type Looked = Pick<MarkRecord, 'note' | 'flags' | 'typed' | 'questions'>;

/** Questions that would have more marks with the number of nobody's that stands in the notebook. */
export function moreAsTyped({ typed, questions }: Pick<Looked, 'typed' | 'questions'>) {
  return questions.flatMap(({ question, marks }) => {
    const other = typed?.marks[question] ?? 0;
    return other > marks ? [{ question, marks: other }] : [];
  });
}

/** What a person should know of a return, sentence by sentence; for instructors, wherever returns are listed. */
export function toLookAt(one: Looked): string[] {
  const { note, flags = [], typed } = one;
  return [
    ...(note === undefined ? [] : [note]),
    ...flags,
    ...(typed === undefined ? [] : [typedSaid(typed.number, moreAsTyped(one))]),
  ];
}

function typedSaid(number: string, more: ReturnType<typeof moreAsTyped>): string {
  if (more.length === 0)
    return `It was judged with ${number}, too: no question has more marks then.`;
  const list = more.map(({ question, marks }) => `${question}: ${marks}`).join(', ');
  return `It was judged with ${number}, too, and has more marks then: ${list}. If the number was only mistyped, enter these in changed-marks.csv.`;
}
