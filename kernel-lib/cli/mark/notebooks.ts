import { closeSync, mkdirSync, openSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { executedNotebook } from '../../marking/executed-notebook';
import { notebookFrom } from '../../marking/found-return';
import type { MarkRecord } from '../../marking/record';
import { writeNotebook } from '../../notebook/write';
import { writeWhole } from '../files';
import type { ToMark } from './return-marker';
import { digestOf } from './sheets-to-mark';

/** Changes when notebooks come to look otherwise: then all are written anew. */
const form = '1';

/** What a notebook tells beside the sheet: kept at its head, so that one look says whether it still holds. */
const stateOf = ({ ran, questions, failure = '' }: MarkRecord) =>
  digestOf(form, ran, JSON.stringify(questions), failure);

/** The beginning of a file; '' where there is none. */
function headOf(path: string): string {
  let file: number | undefined;
  try {
    file = openSync(path, 'r');
    const head = Buffer.alloc(200);
    return head.toString('latin1', 0, readSync(file, head));
  } catch {
    return '';
  } finally {
    if (file !== undefined) closeSync(file);
  }
}

export const notebookPath = (student: string, sheet: string) =>
  join('students', student, `${sheet}.ipynb`);

/** Write a return as it ran into the folder of marks, unless it stands there already. */
export async function writeExecuted(
  folder: string,
  { found, sheet }: ToMark,
  record: MarkRecord,
  /** The record with its cells' outputs, asked for only when the notebook must be written. */
  whole: () => MarkRecord = () => record,
): Promise<void> {
  const path = join(folder, notebookPath(record.student, record.sheet));
  const state = stateOf(record);
  if (headOf(path).includes(`"state": "${state}"`)) return;
  const returned = notebookFrom(found.text);
  const full = { ...record, cells: whole().cells };
  mkdirSync(join(folder, 'students', record.student), { recursive: true });
  await writeWhole(path, writeNotebook(executedNotebook(sheet.original, returned, full, state)));
}
