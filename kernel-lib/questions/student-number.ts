/** The number that a sheet carries before a student types their own. Nobody has it. */
export const sampleStudent = '000000';

/** Whether a text is a student number: 4 to 10 digits. */
const isStudentNumber = (text: string): boolean => /^\d{4,10}$/.test(text);

/** As it is typed from a card or copied from a list, in groups or with a blank behind it. */
const withoutBlanks = (text: string): string => text.replace(/[\s\u200b]/g, '');

/** The digits of a student number in a text, blanks taken out; undefined where it is none. */
export function studentNumberIn(text: string): string | undefined {
  const digits = withoutBlanks(text);
  return isStudentNumber(digits) ? digits : undefined;
}

/** In a folder of worksheets the student number stands in this file. */
export const studentFile = 'student.json';

/** What stands in that file. */
export const studentFileText = (student: string): string =>
  `${JSON.stringify({ student }, null, 2)}\n`;

/** The number in the text of that file; undefined where there is none. */
export function studentInFile(text: string): string | undefined {
  try {
    const { student } = JSON.parse(text);
    return typeof student === 'string' ? typedStudentNumber(student) : undefined;
  } catch {
    return undefined;
  }
}

/**
 * A student number as a person typed it into a box.
 *
 * @throws RangeError with a sentence when this cannot be one
 */
export function typedStudentNumber(typed: string): string {
  const digits = studentNumberIn(typed);
  if (digits !== undefined) return digits;
  const text = typed.trim();
  throw new RangeError(
    text === ''
      ? 'Type your student number: 4 to 10 digits, such as 204117.'
      : `A student number has 4 to 10 digits and nothing else, such as 204117; "${text.slice(0, 40)}" was given.`,
  );
}

/**
 * A student number as text: 4 to 10 digits. Leading zeros count, so text is the safe way to type it. Blanks in a text
 * are taken out.
 *
 * @param given text, or a whole number
 * @returns the digits
 * @throws RangeError when it is anything else; the sentence says what to type
 * @example readStudentNumber(' 204 117 ') // '204117'
 */
export function readStudentNumber(given: unknown): string {
  const example = "as digits in quotes, for instance '204117'";
  const text =
    typeof given === 'string'
      ? withoutBlanks(given)
      : typeof given === 'number' && Number.isSafeInteger(given) && given >= 0
        ? String(given)
        : undefined;
  if (text === '' || given === undefined || given === null || typeof given === 'function')
    throw new RangeError(
      `Type your student number at the top of the sheet, ${example}, and run it again.`,
    );
  if (text !== undefined && isStudentNumber(text)) return text;
  const shown = typeof given === 'string' ? `'${given.slice(0, 40)}'` : String(given).slice(0, 40);
  throw new RangeError(
    `A student number has 4 to 10 digits and nothing else; ${shown} was given. Type it ${example}.`,
  );
}
