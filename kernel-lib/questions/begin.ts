import { escapeText, type MimeBundle } from '../display/bundle';

import { emit } from '../display/display';
import { drawFor } from './draw-for';
import { startWork } from './progress';
import type { AnySheet } from './sheet';
import type { SheetGivens } from './sheet-givens';
import { sheetNamed } from './sheet-source';
import { readStudentNumber, sampleStudent } from './student-number';

/** The type that `begin` returns for a sheet: its own givens, or anything for a sheet that does not say them. */
// biome-ignore lint/suspicious/noExplicitAny: cells read givens by name without having to declare them
export type GivenOf<Name> = Name extends keyof SheetGivens ? SheetGivens[Name] : any;

/**
 * This student's givens of a sheet: the same number always gets the same ones.
 *
 * @example
 * const sheet = {
 *   name: '08-a-hair',
 *   title: 'A hair',
 *   givens: (draw) => ({ diameter: draw.choice('diameter', [um(60), um(80)]) }),
 *   questions: [],
 * };
 * givensFor(sheet, '204117').diameter === givensFor(sheet, '204117').diameter // true
 */
export function givensFor(sheet: AnySheet, student: string): object {
  return sheet.givens(drawFor(sheet.name, student));
}

/**
 * Begin a sheet: draws the givens that belong to the student number and shows what they are.
 * Running it again with the same number keeps all marks.
 *
 * @param sheet the sheet's name, such as `02-one-slit`
 * @param student 4 to 10 digits, best in quotes
 * @returns the givens: SI units and radians
 * @throws RangeError when the sheet or the number is not known; the sentence says what to type
 * @example
 * const given = begin('02-one-slit', '204117');
 * given.width === begin('02-one-slit', 204117).width // true
 */
export function begin<Name extends string>(sheet: Name, student: string | number): GivenOf<Name> {
  const found = sheetNamed(sheet);
  const number = readStudentNumber(student);
  const work = startWork(found, number, givensFor(found, number));
  emit(beginBundle(found, number, work.given));
  // A copy of their own: whatever a cell does to it, answers are judged with the original.
  return givensFor(found, number) as GivenOf<Name>;
}

const isSample =
  'These are the numbers of the sample student. Type your own student number above and run both cells again: your numbers are yours alone.';

function beginBundle(sheet: AnySheet, student: string, given: object): MimeBundle {
  const marks = sheet.questions.reduce((sum, question) => sum + question.marks, 0);
  const head = `${sheet.title}. Student ${student}, ${sheet.questions.length} questions, ${marks} marks.`;
  const lines = sheet.tells?.(given) ?? [];
  const items = lines.map((line) => `<li>${escapeText(line)}</li>`).join('');
  const sample = student === sampleStudent ? [isSample] : [];
  const notes = sample.map((note) => `<p><strong>${escapeText(note)}</strong></p>`).join('');
  return {
    'text/html': `${notes}<p>${escapeText(head)}</p>${items ? `<ul>${items}</ul>` : ''}`,
    'text/plain': [...sample, head, ...lines.map((line) => `  ${line}`)].join('\n'),
  };
}
