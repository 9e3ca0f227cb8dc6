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

/**
 * Gives an answer its code: that of student and sheet; where several returns of one student are compared, one for
 * each text, so that what was read once need not be read again.
 */
function coder(secret: string, records: readonly MarkRecord[]) {
  const place = ({ sheet, student }: MarkRecord) => `${sheet} ${student}`;
  const returns = new Map<string, number>();
  for (const record of records) returns.set(place(record), (returns.get(place(record)) ?? 0) + 1);
  const code = (...parts: string[]) =>
    createHash('sha256')
      .update([secret, ...parts].join(' '))
      .digest('hex')
      .slice(0, 8);
  return (record: MarkRecord, question: string): WrittenAnswer => {
    const answer = record.written[question];
    const [plain, ofText] = [code(place(record)), code(place(record), question, answer)];
    return (returns.get(place(record)) ?? 0) > 1
      ? { code: ofText, formerly: plain, question, answer }
      : { code: plain, formerly: ofText, question, answer };
  };
}

const idOf = ({ code, question }: { code: string; question: string }) => `${code} ${question}`;

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
  const answerOf = coder(await secretOf(folder), records);
  const points = new Map<string, number>();
  for (const { name, key } of sheets.values()) {
    const own = records.filter(({ sheet }) => sheet === name);
    const answers = own.flatMap((record) =>
      Object.keys(record.written).map((question) => answerOf(record, question)),
    );
    const different = [...new Map(answers.map((answer) => [idOf(answer), answer])).values()];
    const file = join(folder, `${name}.csv`);
    const before = existsSync(file) ? readFileSync(file, 'utf8') : '';
    if (different.length === 0 && before === '') continue;
    const outOf = new Map(key.sheet.questions.map(({ id, marks }) => [id, marks]));
    const rows = mergeWritten(different, before === '' ? [] : tableAt(file, before, outOf));
    const text = writeWrittenTable(rows, key);
    if (text !== before) await writeWhole(file, text);
    for (const row of rows)
      if (row.points !== '') points.set(`${name} ${idOf(row)}`, Number(row.points));
  }
  return records.map((record) => ({
    ...record,
    questions: record.questions.map((mark) => {
      if (mark.state !== 'to be read') return mark;
      const entered = points.get(`${record.sheet} ${idOf(answerOf(record, mark.question))}`);
      if (entered === undefined) return mark;
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
