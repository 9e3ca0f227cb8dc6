import { createHash, randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { MarkRecord } from '../../marking/record';
import {
  mergeWritten,
  readWrittenTable,
  type WrittenAnswer,
  writeWrittenTable,
} from '../../marking/written-table';
import { writeWhole } from '../files';
import type { SheetToMark } from './sheets-to-mark';

/** What this folder's codes are made with: stays beside the tables, so that codes stay the same. */
async function secretOf(folder: string): Promise<string> {
  const file = join(folder, 'codes.secret');
  if (existsSync(file)) return readFileSync(file, 'utf8').trim();
  const secret = randomBytes(24).toString('hex');
  mkdirSync(folder, { recursive: true });
  await writeWhole(file, `${secret}\n`);
  return secret;
}

const codeOf = (secret: string, student: string, sheet: string) =>
  createHash('sha256').update(`${secret} ${sheet} ${student}`).digest('hex').slice(0, 8);

/**
 * Lay the written answers of each sheet out for a person, merge what was entered before, and give the points to
 * the records.
 *
 * @param folder of the tables, a file a sheet
 * @returns the records with the points in them
 */
export async function markWritten(
  folder: string,
  sheets: ReadonlyMap<string, SheetToMark>,
  records: readonly MarkRecord[],
): Promise<MarkRecord[]> {
  const secret = await secretOf(folder);
  const points = new Map<string, number>();
  const at = (student: string, sheet: string, question: string) =>
    `${sheet} ${student} ${question}`;
  for (const { name, key } of sheets.values()) {
    const own = records.filter(({ sheet }) => sheet === name);
    const owners = new Map(own.map(({ student }) => [codeOf(secret, student, name), student]));
    const answers = own.flatMap(({ student, written }) =>
      Object.entries(written).map(
        ([question, answer]): WrittenAnswer => ({
          code: codeOf(secret, student, name),
          question,
          answer,
        }),
      ),
    );
    const file = join(folder, `${name}.csv`);
    const before = existsSync(file) ? readFileSync(file, 'utf8') : '';
    if (answers.length === 0 && before === '') continue;
    const outOf = new Map(key.sheet.questions.map(({ id, marks }) => [id, marks]));
    const rows = mergeWritten(answers, before === '' ? [] : tableAt(file, before, outOf));
    const text = writeWrittenTable(rows, key);
    if (text !== before) await writeWhole(file, text);
    for (const { code, question, points: entered } of rows) {
      const student = owners.get(code);
      if (student !== undefined && entered !== '')
        points.set(at(student, name, question), Number(entered));
    }
  }
  return records.map((record) => ({
    ...record,
    questions: record.questions.map((mark) => {
      const entered = points.get(at(record.student, record.sheet, mark.question));
      if (mark.state !== 'to be read' || entered === undefined) return mark;
      const state = entered === mark.outOf ? 'agrees' : 'not yet';
      return { ...mark, state, marks: entered, message: 'Read and marked by a person.' } as const;
    }),
  }));
}

function tableAt(file: string, text: string, outOf: ReadonlyMap<string, number>) {
  try {
    return readWrittenTable(text, outOf);
  } catch (error) {
    throw new Error(`${file}: ${(error as Error).message}`);
  }
}
