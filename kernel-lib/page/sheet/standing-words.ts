import type { ListedSheet } from '../../travels/listed-sheet';

const kinds = ['agrees', 'not yet', 'recorded', 'written'] as const;

/** The states of a sheet's questions in their order; `open` for one without any. */
export function statesOf({ questions, states }: ListedSheet): string[] {
  return questions.map(({ id }) => {
    const state = Object.hasOwn(states, id) ? states[id] : '';
    return (kinds as readonly string[]).includes(state) ? state : 'open';
  });
}

/** How far a sheet is, in one sentence: `Of 9 questions: 4 agree, 1 recorded. 8 of 22 marks so far.` */
export function standingWords(sheet: ListedSheet): string {
  const { opened, questions, marks } = sheet;
  const outOf = questions.reduce((sum, question) => sum + question.marks, 0);
  const all = `${questions.length} questions, ${outOf} marks`;
  if (!opened) return questions.length > 0 ? `Not begun. ${all}.` : 'Not begun.';
  const states = statesOf(sheet);
  const parts = kinds.flatMap((kind) => {
    const count = states.filter((state) => state === kind).length;
    if (count === 0) return [];
    return [`${count} ${kind === 'agrees' && count > 1 ? 'agree' : kind}`];
  });
  if (parts.length === 0) return `Begun, nothing answered yet. ${all}.`;
  return `Of ${questions.length} questions: ${parts.join(', ')}. ${marks} of ${outOf} marks so far.`;
}
