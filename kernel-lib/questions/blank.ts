const mark = Symbol.for('multislit.blank');

/**
 * Stands for an answer not yet given: `const firstMinimum = blank;`. Computing with it gives NaN and
 * calling it gives NaN, so that the cells around it still run; `check` says that the answer is missing.
 *
 * @example 2 * blank // NaN
 */
// biome-ignore lint/suspicious/noExplicitAny: it must fit wherever an answer will stand
export const blank: any = Object.freeze(
  Object.assign(() => Number.NaN, {
    [mark]: true,
    [Symbol.toPrimitive]: (hint: string) => (hint === 'string' ? 'blank' : Number.NaN),
  }),
);

/** True for `blank`, for nothing at all, and for a list of only such. */
export function isBlank(answer: unknown): boolean {
  if (answer === undefined || answer === null) return true;
  if (Array.isArray(answer)) return answer.length > 0 && answer.every(isBlank);
  if (typeof answer === 'string') return answer.trim() === '';
  return (
    typeof answer === 'function' && (answer as unknown as Record<symbol, unknown>)[mark] === true
  );
}
