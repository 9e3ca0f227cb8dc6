import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { built } from '../../kernel-lib/kernel/home';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { seeded } from '../../kernel-lib/numerics/random';
import { needs } from '../needs';
import { compareWithTruth } from './made-up-class/compare';
import { descendants, type Started, stillRunning } from './made-up-class/descendants';
import { filesThatDiffer } from './made-up-class/files-of';
import { makeClass, rosterText } from './made-up-class/make-class';
import { planClass, samplePlaces } from './made-up-class/plan';
import { type ClassTruth, dueAt, latePercent } from './made-up-class/truth';
import { multislit } from './multislit';

const { skip } = needs('bwrap');
const isWhole = process.env.MULTISLIT_WHOLE_CLASS !== undefined;
const kills = isWhole ? 50 : 8;
const sheets = sheetNames().slice(1, 3);

let folder: string;
let truth: ClassTruth;
/** Length of an undisturbed run, ms. */
let length: number;
const at = (...parts: string[]) => join(folder, ...parts);
const words = (to: string) => [
  ...['mark', at('returns'), '--to', at(to), '--roster', at('roster.csv'), '--jobs', '2'],
  ...['--deadline', new Date(dueAt).toISOString(), '--late', String(latePercent)],
  ...['--sheet', ...sheets],
];

beforeAll(async () => {
  if (skip) return;
  folder = mkdtempSync(join(tmpdir(), 'cut-off-'));
  truth = makeClass(at('returns'), samplePlaces(planClass(sheets, 60), 18));
  writeFileSync(at('roster.csv'), rosterText(truth));
  const started = performance.now();
  const { code } = await multislit(words('undisturbed'));
  length = performance.now() - started;
  expect(code).toBe(0);
}, 200_000);
afterAll(() => {
  if (!skip) rmSync(folder, { recursive: true, force: true });
});

/** Start marking and kill it after `time` ms; its exit code, null when it was killed. */
async function cutOff(to: string, time: number, started: Set<Started>): Promise<number | null> {
  const child = spawn(process.execPath, [built('cli.cjs'), ...words(to)], { stdio: 'ignore' });
  pids.add(child.pid ?? 0);
  const ended = new Promise<number | null>((done) => child.once('exit', done));
  const timer = setTimeout(() => {
    for (const one of descendants(child.pid ?? 0)) started.add(one);
    child.kill('SIGKILL');
  }, time);
  const code = await ended;
  clearTimeout(timer);
  return code;
}
const pids = new Set<number>();

const staged = () =>
  readdirSync(tmpdir()).filter((name) =>
    [...pids].some((pid) => name.startsWith(`multislit-marking-${pid}-`)),
  );

describe.skipIf(skip)('kill -9', () => {
  test('the class has every trouble, and its marks are true', () => {
    expect(compareWithTruth(at('undisturbed'), truth).differences).toEqual([]);
    expect(truth.returns.size).toBeGreaterThan(9);
    expect(truth.aside.size).toBeGreaterThan(4);
  });

  test(
    `at ${kills} moments: started again, it ends as an undisturbed run does, with nothing left behind`,
    async () => {
      const random = seeded('moments of kill -9');
      const started = new Set<Started>();
      let killed = 0;
      for (let series = 0; killed < kills; series++) {
        const to = `series-${series}`;
        let code: number | null = null;
        while (code === null && killed < kills) {
          code = await cutOff(to, length * random.uniform(), started);
          if (code === null) killed += 1;
        }
        if (code === null) code = (await multislit(words(to))).code;
        expect(code).toBe(0);
        expect(filesThatDiffer(at(to), at('undisturbed'))).toEqual([]);
        rmSync(at(to), { recursive: true });
      }
      await expect.poll(() => stillRunning(started), { timeout: 10_000 }).toEqual([]);
      expect(staged()).toEqual([]);
    },
    isWhole ? 1_800_000 : 200_000,
  );
});
