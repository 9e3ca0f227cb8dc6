import { spawn } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { built } from '../../kernel-lib/kernel/home';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { needs } from '../needs';
import { descendants, type Started, stillRunning } from './made-up-class/descendants';
import { filesThatDiffer } from './made-up-class/files-of';
import { makeClass, rosterText } from './made-up-class/make-class';
import { planClass, samplePlaces } from './made-up-class/plan';
import { type ClassTruth, dueAt, latePercent } from './made-up-class/truth';
import { hang, multislit } from './multislit';

const { skip } = needs('bwrap');
/** Enough for what does not depend on the sheet. */
const sheets = sheetNames().slice(1, 3);
const places = samplePlaces(planClass(sheets, 60), 16);

let folder: string;
let made: ClassTruth;
const at = (...parts: string[]) => join(folder, ...parts);
const words = (to: string, { from = 'returns', jobs = 2, order = sheets } = {}) => [
  ...['mark', at(from), '--to', at(to), '--roster', at('roster.csv'), '--jobs', String(jobs)],
  ...['--deadline', new Date(dueAt).toISOString(), '--late', String(latePercent)],
  ...['--sheet', ...order],
];

/** The class is as the other one is: every file, byte for byte. */
function expectSame(one: string, other: string): void {
  expect(filesThatDiffer(at(one), at(other))).toEqual([]);
}

beforeAll(async () => {
  if (skip) return;
  folder = mkdtempSync(join(tmpdir(), 'mark-class-'));
  made = makeClass(at('returns'), places);
  writeFileSync(at('roster.csv'), rosterText(made));
  const { code, err } = await multislit(words('plain', { jobs: 1 }));
  expect([code, err.replace(/^\d+ of .*\n/gm, '')]).toEqual([0, '']);
});
afterAll(() => {
  if (!skip) rmSync(folder, { recursive: true, force: true });
});

describe.skipIf(skip)('a class with every kind of trouble', () => {
  test('with several jobs and the sheets named the other way round, every file is the same', async () => {
    await multislit(words('several', { jobs: 3, order: [...sheets].reverse() }));
    expectSame('several', 'plain');
  });

  test('marked a part first, the rest when it has come, every file is the same', async () => {
    makeClass(at('part'), places.filter((_, i) => i % 2 === 1).reverse());
    await multislit(words('in-parts', { from: 'part' }));
    makeClass(at('part'), [...places].reverse());
    const { code } = await multislit(words('in-parts', { from: 'part' }));
    expect(code).toBe(0);
    expectSame('in-parts', 'plain');
  });

  test('marked twice, nothing runs again and nothing changes', async () => {
    cpSync(at('plain'), at('twice'), { recursive: true });
    const { out } = await multislit(words('twice'));
    expect(out).toContain(`${made.returns.size} stood from before`);
    expectSame('twice', 'plain');
  });

  test('no process outlives a run that was cut off', async () => {
    const child = spawn(process.execPath, [built('cli.cjs'), ...words('orphans')]);
    const own = () => descendants(child.pid ?? 0);
    // Two converters and two children at least, each inside its name space.
    await expect.poll(() => own().length, { timeout: hang }).toBeGreaterThan(6);
    const started = new Set<Started>(own());
    child.kill('SIGKILL');
    await expect.poll(() => stillRunning(started), { timeout: hang }).toEqual([]);
  });

  test('a record that was damaged is marked anew', async () => {
    const [sheet, student] = [...made.returns.keys()][0].split(' ');
    const record = at('twice', 'records', sheet, `${student}.json`);
    const whole = readFileSync(record, 'utf8');
    writeFileSync(record, whole.slice(0, 300));
    // What a run that was cut off leaves beside a file that it had begun to write.
    writeFileSync(`${record}.123456789`, whole.slice(0, 300));
    const { out } = await multislit(words('twice'));
    expect(out).toContain(`${made.returns.size - 1} stood from before`);
    expectSame('twice', 'plain');
  });
});
