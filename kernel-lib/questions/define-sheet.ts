import type { Givens, Sheet } from './sheet';
import { checkSheet } from './sheet-rules';

/**
 * Define a sheet. Write `givens` before `questions`: then every formula knows its givens' types.
 *
 * @returns the sheet itself
 * @throws RangeError when ids, marks, units, tolerances or slips are not sound; the sentence names the question
 */
export function defineSheet<Given extends Givens>(sheet: Sheet<Given>): Sheet<Given> {
  checkSheet(sheet);
  return sheet;
}
