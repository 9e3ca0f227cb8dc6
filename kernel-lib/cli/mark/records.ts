import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { FoundReturn } from '../../marking/found-return';
import { type MarkRecord, readRecord, writeRecord } from '../../marking/record';
import { writeWhole } from '../files';
import type { MarkOptions } from './mark-options';

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
