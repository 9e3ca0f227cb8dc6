import { closeSync, mkdirSync, openSync, readFileSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { writeWhole } from '../kernel/files';
import { type FoundReturn, notebookFrom } from '../marking/found-return';
import { type MarkRecord, readRecord, writeRecord } from '../marking/record';
import { executedNotebook } from '../marking/report/executed-notebook';
import { writeNotebook } from '../notebook/write-notebook';
import type { MarkOptions } from './settings';
import type { ToMark } from './sheets-to-mark';
import { digestOf } from './sheets-to-mark';

/** The records of a folder with marks: a file for each return that is marked. */
export interface Records {
  read(found: FoundReturn): MarkRecord | undefined;
  /** Whole or not at all. */
  write(found: FoundReturn, record: MarkRecord): Promise<void>;
}

/**
 * @param folder of the marks; made when it is not there
 * @param count where the latest return counts, one record a student and sheet, so that it tells which marks moved;
 *   where the best counts, one for each text that was handed in
 */
export function recordsIn(folder: string, count: MarkOptions['count']): Records {
  const file = ({ student, sheet, digest }: FoundReturn) =>
    join(
      folder,
      'records',
      sheet,
      count === 'best' ? `${student}-${digest.slice(0, 16)}.json` : `${student}.json`,
    );
  const text = (path: string) => {
    try {
      return readFileSync(path, 'utf8');
    } catch {
      return '';
    }
  };
  return {
    read(found) {
      const record = readRecord(text(file(found)));
      return record?.student === found.student && record.sheet === found.sheet ? record : undefined;
    },
    async write(found, record) {
      const path = file(found);
      const content = writeRecord(record);
      if (text(path) === content) return;
      mkdirSync(join(folder, 'records', record.sheet), { recursive: true });
      await writeWhole(path, content);
    },
  };
}

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

const notebookPath = (student: string, sheet: string) =>
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
