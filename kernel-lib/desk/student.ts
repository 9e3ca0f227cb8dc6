import { join } from 'node:path';
import {
  studentFile,
  studentFileText,
  studentInFile,
  typedStudentNumber,
} from '../questions/student-number';
import { Refusal } from './refusal';
import { readStored, saveStored } from './stored-file';

const fileIn = (folder: string) => join(folder, studentFile);

/** The student number kept in the work folder, or undefined when none was asked yet. */
export async function readStudent(folder: string): Promise<string | undefined> {
  try {
    return studentInFile((await readStored(fileIn(folder), studentFile)).text);
  } catch (error) {
    if (error instanceof Refusal && error.status === 404) return undefined;
    throw error;
  }
}

/** @throws Refusal (400) with a sentence when this cannot be a student number */
export function checkedStudentNumber(value: unknown): string {
  try {
    return typedStudentNumber(typeof value === 'string' ? value : '');
  } catch (error) {
    throw new Refusal(400, (error as Error).message);
  }
}

export async function writeStudent(folder: string, student: string): Promise<void> {
  await saveStored(fileIn(folder), studentFile, studentFileText(student), undefined);
}
