import { chmodSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startDesk } from '../../kernel-lib/desk/desk';
import { studentNumberOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { type TestDesk, testDesk } from './desk-for-test';

let desk: TestDesk;
beforeAll(async () => {
  desk = await testDesk();
});
afterAll(() => desk.end());

const list = async () => (await desk.ask('/desk/sheets')).json();
const open = (name: string) => desk.ask(`/desk/sheets/${name}/open`, { method: 'POST' });
const setStudent = (student: unknown) =>
  desk.ask('/desk/student', {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ student }),
  });
const numberIn = (path: string) =>
  studentNumberOf(readNotebook(readFileSync(join(desk.folder, path), 'utf8')));

test('sheets are listed with their questions; one without sheet.ts with one clear sentence', async () => {
  const { sheets, student, folder } = await list();
  expect(student).toBe(null);
  expect(folder).toBe(desk.folder);
  const [small, lost] = sheets;
  expect(small).toMatchObject({
    name: '01-small',
    title: 'Small',
    opened: false,
    path: '01-small.ipynb',
  });
  expect(small.questions).toEqual([
    { id: '1.1', asks: 'One', marks: 2, kind: 'sealed' },
    { id: '1.2', asks: 'Two', marks: 3, kind: 'written', blank: '*Write here.*' },
  ]);
  expect(lost.problem).toBe(
    'The sheet 04-lost has no sheet.ts, so its answers cannot be checked: put worksheets/04-lost/sheet.ts back.',
  );
  const answer = await open('04-lost');
  expect(answer.status).toBe(409);
});

test('a student number that is none is refused with a sentence', async () => {
  for (const wrong of ['', '12', 'abc', '1 23', 5, null, "1'; process.exit(); '"]) {
    const answer = await setStudent(wrong);
    expect([wrong, answer.status]).toEqual([wrong, 400]);
    expect((await answer.json()).message).toContain('4 to 10 digits');
  }
});

test('opening copies the original once, with the student number, and never overwrites', async () => {
  await setStudent(' 204117 ');
  expect((await list()).student).toBe('204117');
  expect(await (await open('01-small')).json()).toMatchObject({
    path: '01-small.ipynb',
    fresh: expect.any(String),
  });
  expect(numberIn('01-small.ipynb')).toBe('204117');
  const file = join(desk.folder, '01-small.ipynb');
  const mine = readFileSync(file, 'utf8').replace('# Small', '# Mine');
  writeFileSync(file, mine);
  expect(await (await open('01-small')).json()).toEqual({ path: '01-small.ipynb' });
  expect(readFileSync(file, 'utf8')).toBe(mine);
  expect((await list()).sheets[0].opened).toBe(true);
});

test('a changed student number goes into the sheets that carried the one before, and no others', async () => {
  await setStudent('300200');
  expect(numberIn('01-small.ipynb')).toBe('300200');
  const file = join(desk.folder, '01-small.ipynb');
  writeFileSync(file, readFileSync(file, 'utf8').replace('300200', '777777'));
  await setStudent('300201');
  expect(numberIn('01-small.ipynb')).toBe('777777');
});

test('a damaged notebook is listed with what is wrong and left untouched', async () => {
  writeFileSync(join(desk.folder, '01-small.ipynb'), '{');
  writeFileSync(join(desk.folder, 'other.ipynb'), '');
  const { sheets, others } = await list();
  expect(sheets[0].problem).toMatch(/^01-small\.ipynb: The file is not a notebook/);
  expect(others).toEqual([{ path: 'other.ipynb', problem: expect.stringContaining('is empty') }]);
  await setStudent('300202');
  expect(readFileSync(join(desk.folder, '01-small.ipynb'), 'utf8')).toBe('{');
});

test.skipIf(process.getuid?.() === 0 || process.platform === 'win32')(
  'a folder without write permission is told in one sentence',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'multislit-desk-'));
    chmodSync(folder, 0o500);
    const { worksheets } = desk;
    const launch = () => Promise.reject(new Error('not needed'));
    await expect(
      startDesk({ folder, worksheets, page: worksheets, port: 0, launch }),
    ).rejects.toThrow('may not be read or written');
  },
);
