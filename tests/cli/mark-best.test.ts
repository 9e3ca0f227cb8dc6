import { spawn } from 'node:child_process';
import {
  cpSync,
  existsSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, test } from 'vitest';
import { built } from '../../kernel-lib/kernel/home';
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { needs } from '../needs';
import { scratch } from '../scratch';
import {
  handIn,
  machineMarks,
  modelReturn,
  oneSlit,
  returnOf,
  withEntries,
} from './class-for-test';
import { filesThatDiffer } from './made-up-class/files-of';
import { hang, multislit } from './multislit';

const { skip } = needs('bwrap');
const full = machineMarks(oneSlit);
const due = Date.parse('2026-11-20T12:00:00Z');
const hours = (n: number) => due / 1000 + 3600 * n;

const { at } = scratch('mark-best-');
const words = (to: string, { from = 'returns', jobs = 1 } = {}) => [
  ...['mark', at(from), '--to', at(to), '--sheet', oneSlit, '--count', 'best'],
  ...['--deadline', new Date(due).toISOString(), '--late', '25', '--jobs', String(jobs)],
];
const run = (to: string, more?: { from?: string; jobs?: number }) => multislit(words(to, more));
const outcomes = (to: string): Record<string, string>[] =>
  parse(readFileSync(at(to, 'returns.csv'), 'utf8'), { columns: true, bom: true });
const marks = (to: string) =>
  JSON.parse(readFileSync(at(to, 'class.json'), 'utf8')).students.map(
    ({ student, total }: { student: string; total: number }) => [student, total],
  );

/** The answers of the model but for those that are named, so that less is earned. */
const blankFrom = (student: string, ...ids: string[]): Notebook => {
  const blank = returnOf(oneSlit, student);
  const of = (id: string) => [blank.cells.find((cell) => cell.id === id)?.source].flat().join('');
  return modelReturn(oneSlit, student, Object.fromEntries(ids.map((id) => [id, of(id)])));
};
const unanswered = (student: string) => blankFrom(student, '2-9-written');

beforeAll(async () => {
  const put = (name: string, notebook: Notebook, hour: number) =>
    utimesSync(handIn(at('returns'), name, notebook), hours(hour), hours(hour));
  put('1001 first.ipynb', unanswered('1001'), -9);
  put('1001 second.ipynb', returnOf(oneSlit, '1001'), -5);
  put('1001 first again.ipynb', unanswered('1001'), 5);
  // A quarter is lost by handing in late: 21 become 15.8.
  put('1002 in time.ipynb', blankFrom('1002', '2-1-work', '2-9-written'), -1);
  put('1002 late.ipynb', modelReturn(oneSlit, '1002'), 1);
  put('1003.ipynb', unanswered('1003'), -1);
  if (!skip) await run('plain');
});

describe.skipIf(skip)('the best of several returns', () => {
  test('counts, and the others are listed with what they earned', () => {
    expect(marks('plain')).toEqual([
      ['1001', full],
      ['1002', full - 4],
      ['1003', full],
    ]);
    const told = Object.fromEntries(outcomes('plain').map((one) => [one.path, one]));
    expect(
      Object.fromEntries(Object.entries(told).map(([path, one]) => [path, one.outcome])),
    ).toEqual({
      '1001 first again.ipynb': 'same again',
      '1001 first.ipynb': 'marked',
      '1001 second.ipynb': 'another counts',
      '1002 in time.ipynb': 'marked',
      '1002 late.ipynb': 'another counts',
      '1003.ipynb': 'marked',
    });
    expect(told['1002 late.ipynb'].remark).toBe(
      `1002 in time.ipynb counts with ${full - 4} marks; this one has ${full} marks (${Math.round(7.5 * full) / 10} after 1 day late).`,
    );
    const page = readFileSync(at('plain', 'students', '1001.html'), 'utf8');
    expect(page).toMatch(/Also handed in: 1001 second\.ipynb\./);
    const shown = readFileSync(at('plain', 'students', '1002', `${oneSlit}.ipynb`), 'utf8');
    expect(shown).toContain(`${full - 4} of`);
  });

  test('nothing runs again, and every file stays as it is', async () => {
    cpSync(at('plain'), at('twice'), { recursive: true });
    const { code, out } = await run('twice', { jobs: 4 });
    expect([code, out]).toEqual([
      0,
      expect.stringMatching(/^5 returns marked \(5 stood from before\), 3 passed over/),
    ]);
    expect(filesThatDiffer(at('twice'), at('plain'))).toEqual([]);
  });

  test('whatever comes first, and though a run is cut off, every file is the same', async () => {
    cpSync(at('returns'), at('part'), { recursive: true, preserveTimestamps: true });
    for (const name of ['1001 first.ipynb', '1001 first again.ipynb', '1002 in time.ipynb'])
      rmSync(at('part', name));
    await run('in-parts', { from: 'part' });
    expect(marks('in-parts')[0]).toEqual(['1001', 0]);
    const child = spawn(process.execPath, [built('cli.cjs'), ...words('in-parts')]);
    const ended = new Promise((done) => child.once('close', done));
    const records = () => readdirSync(at('in-parts', 'records', oneSlit)).length;
    await expect.poll(records, { timeout: hang, interval: 20 }).toBeGreaterThan(3);
    child.kill('SIGKILL');
    await ended;
    const { code } = await run('in-parts', { jobs: 2 });
    expect(code).toBe(0);
    // Only the history tells of the marks that moved when more came back.
    expect(filesThatDiffer(at('in-parts'), at('plain'))).toEqual(['changes.csv', 'standing.json']);
    const changes = readFileSync(at('in-parts', 'changes.csv'), 'utf8');
    expect(changes).toMatch(/1001,02-one-slit,2\.1,0,2,another return,$/m);
  });

  test('points of a person belong to the answer that was read, and may tip the balance', async () => {
    const file = at('twice', 'written', `${oneSlit}.csv`);
    const text = readFileSync(file, 'utf8');
    const rows: Record<string, string>[] = parse(text, { columns: true, bom: true });
    expect(rows).toHaveLength(1);
    // 25 become 18.8 by a quarter: more than the 17 in time.
    const entered = withEntries(text, () => true, { points: '4' });
    writeFileSync(file, entered);
    await run('twice');
    expect(marks('twice')[1]).toEqual(['1002', Math.round(7.5 * (full + 4)) / 10]);
    expect(readFileSync(file, 'utf8')).toBe(entered);
    // Only the late one is left: another code, the points stay.
    rmSync(at('returns', '1002 in time.ipynb'));
    await run('twice');
    expect(marks('twice')[1]).toEqual(['1002', Math.round(7.5 * (full + 4)) / 10]);
    expect(parse(readFileSync(file, 'utf8'), { columns: true, bom: true })).toMatchObject([
      { points: '4' },
    ]);
    expect(existsSync(at('twice', 'students', '1002', `${oneSlit}.ipynb`))).toBe(true);
  });
});
