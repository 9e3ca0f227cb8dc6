import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { built } from '../../kernel-lib/kernel/home';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import type { ClassData } from '../../kernel-lib/marking/class-data';
import { seeded } from '../../kernel-lib/numerics/random';
import { needs } from '../needs';
import { hasKey, type MadeUpClass, makeClass } from './made-up-class';
import { multislit } from './multislit';

const { skip } = needs('bwrap');
const sheets = sheetNames().filter(hasKey);
const students = 3;
/** Enough for what does not depend on the sheet. */
const few = sheets.slice(1, 3);

let folder: string;
let made: MadeUpClass;
const at = (...parts: string[]) => join(folder, ...parts);
const words = (to: string, ...more: string[]) => [
  ...['mark', at('returns'), '--to', at(to), '--roster', at('roster.csv')],
  ...['--deadline', '2026-11-20T12:00:00Z', '--late', '10', ...more],
];
const json = (to: string) => readFileSync(at(to, 'class.json'), 'utf8');

beforeAll(async () => {
  if (skip) return;
  folder = mkdtempSync(join(tmpdir(), 'mark-class-'));
  made = makeClass(at('returns'), sheets, students);
  writeFileSync(at('roster.csv'), `student\n${made.students.join('\n')}\n`);
  const { code, err } = await multislit(words('plain', '--jobs', '1'));
  expect([code, err.replace(/^\d+ of .*$/gm, '').trim()]).toEqual([0, '']);
}, 200_000);
afterAll(() => {
  if (!skip) rmSync(folder, { recursive: true, force: true });
});

/** Of every process on this machine. */
function commandLines(): string[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .flatMap((pid) => {
      try {
        return [readFileSync(`/proc/${pid}/cmdline`, 'utf8')];
      } catch {
        return [];
      }
    });
}

describe.skipIf(skip)('a made-up class', () => {
  test('every mark and every slip is as the truth has it', () => {
    const data = JSON.parse(json('plain')) as ClassData & { notMarked: { path: string }[] };
    let questions = 0;
    for (const { student, sheets: own } of data.students) {
      for (const { sheet, questions: marked } of own) {
        const truth = made.truth.get(`${sheet} ${student}`) ?? {};
        for (const { question, marks, slip, state } of marked) {
          if (state === 'to be read' || !Object.hasOwn(truth, question)) continue;
          questions += 1;
          const got = { student, question, marks, ...(slip === undefined ? {} : { slip }) };
          expect(got).toEqual({ student, question, ...truth[question] });
        }
      }
    }
    expect(questions).toBeGreaterThan(students * sheets.length * 4);
    expect(data.notMarked.map(({ path }) => path).sort()).toEqual([...made.broken].sort());
  });

  test('several jobs give the same file, byte for byte', async () => {
    await multislit(words('one', '--jobs', '1', '--sheet', ...few));
    await multislit(words('several', '--jobs', '3', '--sheet', ...few));
    expect(json('several')).toBe(json('one'));
  }, 200_000);

  test('cut off at any moment and started again, the marks are the same', async () => {
    const random = seeded('moments of kill -9');
    const starts = 8;
    for (let n = 0; n < starts; n++) {
      const child = spawn(process.execPath, [
        built('cli.cjs'),
        ...words('cut', '--jobs', '2', '--sheet', ...few),
      ]);
      const ended = new Promise<number | null>((done) => child.once('exit', done));
      const timer = setTimeout(() => child.kill('SIGKILL'), 600 + 4000 * random.uniform());
      const code = await ended;
      clearTimeout(timer);
      if (code === 0) break;
    }
    const last = await multislit(words('cut', '--sheet', ...few));
    expect(last.code).toBe(0);
    expect(json('cut')).toBe(json('one'));
  }, 200_000);

  test('no process outlives a run that was cut off', async () => {
    const child = spawn(process.execPath, [built('cli.cjs'), ...words('orphans', '--jobs', '2')]);
    const staged = `multislit-marking-${child.pid}-`;
    const running = () => commandLines().some((line) => line.includes(staged));
    await expect.poll(running, { timeout: 30_000 }).toBe(true);
    child.kill('SIGKILL');
    await expect.poll(running, { timeout: 30_000 }).toBe(false);
  });

  test('a record that was damaged is marked anew', async () => {
    const [sheet, student] = [...made.truth.keys()][0].split(' ');
    const record = (to: string) => at(to, 'records', sheet, `${student}.json`);
    const whole = readFileSync(record('plain'), 'utf8');
    writeFileSync(record('plain'), whole.slice(0, 300));
    const before = json('plain');
    const { out } = await multislit(words('plain'));
    expect(out).toMatch(new RegExp(`${made.truth.size - 1} stood from before`));
    expect(readFileSync(record('plain'), 'utf8')).toBe(whole);
    expect(json('plain')).toBe(before);
  });
});
