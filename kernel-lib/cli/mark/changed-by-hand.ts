import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sheetNames } from '../../kernel/sheets';
import { type ChangedMark, changedMarksHead, readChangedMarks } from '../../marking/changed-marks';
import type { FoundReturn } from '../../marking/found-return';
import { writeWhole } from '../files';
import type { SheetToMark } from './sheets-to-mark';

export const changedMarksFile = 'changed-marks.csv';

/**
 * The marks that a person changed, out of the folder of marks. Where there is no such file one is begun; what
 * stands in it is only read.
 *
 * @throws Error that names the file and the line; asked before anything is marked
 */
export async function changedByHand(
  folder: string,
  sheets: ReadonlyMap<string, SheetToMark>,
  returns: readonly FoundReturn[],
  roster: ReadonlySet<string> | undefined,
): Promise<ChangedMark[]> {
  const file = join(folder, changedMarksFile);
  const text = existsSync(file) ? readFileSync(file, 'utf8') : '';
  if (text.trim() === '') {
    mkdirSync(folder, { recursive: true });
    await writeWhole(file, changedMarksHead);
    return [];
  }
  const outOf = [...sheets].map(
    ([name, { key }]) =>
      [name, new Map(key.sheet.questions.map(({ id, marks }) => [id, marks]))] as const,
  );
  const here = new Set(returns.map(({ student, sheet }) => `${student} ${sheet}`));
  try {
    return readChangedMarks(text, {
      outOf: new Map(outOf),
      sheets: sheetNames(),
      students: new Set([...(roster ?? []), ...returns.map(({ student }) => student)]),
      handedIn: (student, sheet) => here.has(`${student} ${sheet}`),
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new Error(`${file}: ${error.message}`);
  }
}
