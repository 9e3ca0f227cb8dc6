import { join } from 'node:path';
import { readStudentNumber } from '../questions/student-number';
import { Refusal } from './refusal';
import { readStored, saveStored } from './stored-file';

const fileIn = (folder: string) => join(folder, 'student.json');

/** The student number kept in the work folder, or undefined when none was asked yet. */
export async function readStudent(folder: string): Promise<string | undefined> {
  try {
    const { student } = JSON.parse((await readStored(fileIn(folder), 'student.json')).text);
    return typeof student === 'string' && isStudentNumber(student) ? student : undefined;
  } catch (error) {
    if (error instanceof SyntaxError || (error instanceof Refusal && error.status === 404))
      return undefined;
    throw error;
  }
}

const isStudentNumber = (text: string): boolean => {
  try {
    return readStudentNumber(text) === text;
  } catch {
    return false;
  }
};

/** @throws Refusal (400) with a sentence when this cannot be a student number */
export function checkedStudentNumber(value: unknown): string {
  const text = typeof value === 'string' ? value.trim() : '';
  if (!isStudentNumber(text))
    throw new Refusal(
      400,
      text === ''
        ? 'Type your student number: 4 to 10 digits, such as 204117.'
        : `A student number has 4 to 10 digits and nothing else, such as 204117; "${text.slice(0, 40)}" was given.`,
    );
  return text;
}

export async function writeStudent(folder: string, student: string): Promise<void> {
  const text = `${JSON.stringify({ student }, null, 2)}\n`;
  await saveStored(fileIn(folder), 'student.json', text, undefined);
}
