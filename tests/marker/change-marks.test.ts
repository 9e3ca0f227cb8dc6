import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { changeMarks, historyOf } from '../../kernel-lib/marker/change-marks';
import { readChangedMarks } from '../../kernel-lib/marking/changed-marks';
import { scratch } from '../scratch';

const sheet = '09-invented';
const known = {
  outOf: new Map([[sheet, new Map([['9.1', 2]])]]),
  sheets: [sheet, '08-other'],
  students: { has: () => true } as unknown as ReadonlySet<string>,
  handedIn: () => true,
};
const read = (text: string) => readChangedMarks(text, known);
const { at } = scratch('change-marks-');

function folder(name: string, table?: string): string {
  mkdirSync(at(name), { recursive: true });
  if (table !== undefined) writeFileSync(at(name, 'changed-marks.csv'), table);
  return at(name);
}
const tableIn = (name: string) => readFileSync(at(name, 'changed-marks.csv'), 'utf8');
const set = (path: string, student: string, marks: number | undefined, reason: string) =>
  changeMarks(path, read, () => ({
    entries: [{ student, sheet, question: '9.1', marks: marks as number, reason }],
    by: 'O. F.',
  }));

test('lines of others stay letter for letter, with their columns, signs and line ends', async () => {
  const table = `Student;Seen by;Sheet;Question;Marks;Reason\r\n1001;K;${sheet};9,1;1,5;"Two\r\nlines; so."\r\n1002;;08-other;8.1;3;Of another sheet.`;
  const path = folder('semicolons', table);
  await set(path, '1003', 2, 'A sound; way.');
  expect(tableIn('semicolons')).toBe(`\ufeff${table}\r\n1003;;${sheet};9.1;2;"A sound; way."\r\n`);
  await set(path, '1001', 1, 'Less.');
  const rows = parse(tableIn('semicolons'), {
    delimiter: ';',
    bom: true,
    relax_column_count: true,
  });
  expect(rows.slice(1)).toEqual([
    ['1001', 'K', sheet, '9.1', '1', 'Less.'],
    ['1002', '', '08-other', '8.1', '3', 'Of another sheet.'],
    ['1003', '', sheet, '9.1', '2', 'A sound; way.'],
  ]);
  await set(path, '1001', undefined, '');
  await set(path, '1003', undefined, '');
  expect(tableIn('semicolons')).toContain('1002;;08-other;8.1;3;Of another sheet.');
  expect(read(tableIn('semicolons'))).toEqual([]);
});

test('a reason that a spreadsheet would take for a formula comes back as it was typed', async () => {
  const path = folder('formula');
  await set(path, '1001', 1, '=1+1 is not an argument');
  expect(tableIn('formula')).toContain("'=1+1");
  await set(path, '1002', 1, 'So.');
  await set(path, '1001', 2, '-');
  expect(historyOf(path).at(-1)?.before?.reason).toMatch(/=1\+1 is not an argument$/);
});

test('many changes at once all stand, and each has its line in the history', async () => {
  const path = folder('at once');
  const students = Array.from({ length: 20 }, (_, i) => String(1001 + i));
  await Promise.all(students.map((student) => set(path, student, 1, `Of ${student}.`)));
  expect(
    read(tableIn('at once'))
      .map(({ student }) => student)
      .sort(),
  ).toEqual(students);
  const history = historyOf(path);
  expect(new Set(history.map(({ change }) => change)).size).toBe(20);
  expect(history.every(({ by, now }) => by === 'O. F.' && now?.marks === 1)).toBe(true);
});

test('what a process that was killed left behind is in nobody’s way', async () => {
  const path = folder('power cut');
  await set(path, '1001', 1, 'Before.');
  appendFileSync(at('power cut', 'history.csv'), '2026-11-27T10:00:00Z,2,,"1001');
  // No process has the highest number that a system gives out, and one more.
  writeFileSync(at('power cut', 'changed-marks.csv.lock'), '4194305\n');
  expect(historyOf(path)).toHaveLength(1);
  await set(path, '1002', 2, 'After.');
  expect(historyOf(path).map(({ student }) => student)).toEqual(['1001', '1002']);
  expect(existsSync(at('power cut', 'changed-marks.csv.lock'))).toBe(false);
  expect(read(tableIn('power cut'))).toHaveLength(2);
});

test('a decision that throws, or a table that cannot be read, changes nothing', async () => {
  const path = folder('refused', `student,sheet,question,marks,reason\n1001,${sheet},9.1,7,So.\n`);
  await expect(set(path, '1002', 1, 'So.')).rejects.toThrow(/Line 2 has "7" as marks/);
  expect(existsSync(at('refused', 'history.csv'))).toBe(false);
  expect(existsSync(at('refused', 'changed-marks.csv.lock'))).toBe(false);
  const decide = () => {
    throw new Error('meanwhile');
  };
  await expect(changeMarks(folder('thrown'), read, decide)).rejects.toThrow('meanwhile');
  expect(existsSync(at('thrown', 'changed-marks.csv'))).toBe(false);
});
