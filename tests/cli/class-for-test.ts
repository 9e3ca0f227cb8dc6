import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { findKey, originalNotebook } from '../../kernel-lib/kernel/sheets';
import { writeCsv } from '../../kernel-lib/marking/csv';
import { type Notebook, withSources, withStudentNumber } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import type { AnyKey } from '../../kernel-lib/questions/sheet';

export const oneSlit = '02-one-slit';

export function keyOf(sheet: string): AnyKey {
  const key = findKey(sheet);
  if (!key) throw new Error(`${sheet} is not built with its key`);
  return key;
}

export const originalOf = (sheet: string): Notebook =>
  readNotebook(readFileSync(originalNotebook(sheet) as string, 'utf8'));

/** A return of a sheet: the student's number, and sources by cell id. */
export const returnOf = (
  sheet: string,
  student: string,
  sources: Readonly<Record<string, string>> = {},
): Notebook => withStudentNumber(withSources(originalOf(sheet), sources), student);

/** A return with all model answers, some of them replaced. */
export const modelReturn = (
  sheet: string,
  student: string,
  changes: Readonly<Record<string, string>> = {},
): Notebook => returnOf(sheet, student, { ...keyOf(sheet).model, ...changes });

/** Write a notebook, or any text or bytes, into a folder of returns. */
export function handIn(folder: string, name: string, what: Notebook | string | Uint8Array): string {
  const path = join(folder, name);
  mkdirSync(dirname(path), { recursive: true });
  const isNotebook = typeof what === 'object' && 'cells' in what;
  writeFileSync(path, isNotebook ? writeNotebook(what) : what);
  return path;
}

/** Marks that a sheet gives without a person. */
export const machineMarks = (sheet: string): number =>
  keyOf(sheet)
    .sheet.questions.filter(({ kind }) => kind !== 'written')
    .reduce((sum, { marks }) => sum + marks, 0);

/** A table with cells entered as a person would, in the rows that `isMeant` picks; saved as a spreadsheet does. */
export function withEntries(
  csv: string,
  isMeant: (row: Readonly<Record<string, string>>) => boolean,
  entries: Readonly<Record<string, string>>,
): string {
  const rows: Record<string, string>[] = parse(csv, { columns: true, bom: true });
  const columns = Object.keys(rows[0]);
  return writeCsv([
    columns,
    ...rows.map((row) =>
      columns.map((name) =>
        (isMeant(row) ? (entries[name] ?? row[name]) : row[name]).replace(/^'(?=[=+\-@])/, ''),
      ),
    ),
  ]);
}
