/** The number that a sheet carries before a student types their own. Nobody has it. */
export const sampleStudent = '000000';

/**
 * A student number as text: 4 to 10 digits. Leading zeros count, so text is the safe way to type it.
 *
 * @param given text, or a whole number
 * @returns the digits
 * @throws RangeError when it is anything else; the sentence says what to type
 * @example readStudentNumber(' 204117 ') // '204117'
 */
export function readStudentNumber(given: unknown): string {
  const example = "as digits in quotes, for instance '204117'";
  const text =
    typeof given === 'string'
      ? given.trim()
      : typeof given === 'number' && Number.isSafeInteger(given) && given >= 0
        ? String(given)
        : undefined;
  if (text === '' || given === undefined || given === null || typeof given === 'function')
    throw new RangeError(
      `Type your student number at the top of the sheet, ${example}, and run it again.`,
    );
  if (text !== undefined && /^\d{4,10}$/.test(text)) return text;
  const shown = typeof given === 'string' ? `'${given.slice(0, 40)}'` : String(given).slice(0, 40);
  throw new RangeError(
    `A student number has 4 to 10 digits and nothing else; ${shown} was given. Type it ${example}.`,
  );
}
