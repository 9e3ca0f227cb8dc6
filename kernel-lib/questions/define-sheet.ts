import type { Givens, Sheet } from './sheet';
import { checkSheet } from './sheet-rules';

/**
 * Define a sheet. Write `givens` before `questions`: then every formula knows its givens' types.
 *
 * @returns the sheet itself
 * @throws RangeError when ids, marks, units, tolerances or slips are not sound; the sentence names the question
 * @example
 * defineSheet({
 *   name: '08-a-hair',
 *   title: 'A hair in the beam',
 *   givens: (draw) => ({ diameter: draw.between('diameter', um(50), um(90), um(1)) }),
 *   questions: [{ id: '8.1', kind: 'written', asks: 'Why a hair is like a slit', marks: 3 }],
 * }).questions.length // 1
 */
export function defineSheet<Given extends Givens>(sheet: Sheet<Given>): Sheet<Given> {
  checkSheet(sheet);
  return sheet;
}
