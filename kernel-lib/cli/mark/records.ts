import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type MarkRecord, readRecord, writeRecord } from '../../marking/record';
import { writeWhole } from '../files';

/** The records of a folder with marks, a file for each student and sheet. */
export interface Records {
  read(student: string, sheet: string): MarkRecord | undefined;
  /** Whole or not at all. */
  write(record: MarkRecord): Promise<void>;
}

/** @param folder of the marks; made when it is not there */
export function recordsIn(folder: string): Records {
  const file = (student: string, sheet: string) =>
    join(folder, 'records', sheet, `${student}.json`);
  const text = (path: string) => {
    try {
      return readFileSync(path, 'utf8');
    } catch {
      return '';
    }
  };
  return {
    read(student, sheet) {
      const record = readRecord(text(file(student, sheet)));
      return record?.student === student && record.sheet === sheet ? record : undefined;
    },
    async write(record) {
      const path = file(record.student, record.sheet);
      const content = writeRecord(record);
      if (text(path) === content) return;
      mkdirSync(join(folder, 'records', record.sheet), { recursive: true });
      await writeWhole(path, content);
    },
  };
}
