import type { AnyKey, AnyQuestion } from '../../kernel-lib/questions/sheet';

/** The questions of a sheet, sealed ones from its key, and what sheet or key expects of them, in SI units. */
export function expectedOf(key: AnyKey) {
  const question = (id: string) =>
    (key.sealed[id] ?? key.sheet.questions.find((one) => one.id === id)) as AnyQuestion;
  const valued = (id: string) => {
    const asked = question(id);
    if (asked.kind === 'number' || asked.kind === 'list') return asked;
    throw new Error(`${id} is ${asked.kind}`);
  };
  return {
    question,
    // biome-ignore lint/suspicious/noExplicitAny: a number or a list
    expected: (id: string, given: object): any => valued(id).expected(given),
    /** The standard uncertainty that the sheet expects. */
    // biome-ignore lint/suspicious/noExplicitAny: a number or a list
    uncertainty: (id: string, given: object): any => valued(id).uncertainty?.(given),
  };
}
