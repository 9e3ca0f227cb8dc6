import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
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
import { hang, multislit } from './multislit';

const { skip } = needs('bwrap');
const isWhole = process.env.MULTISLIT_WHOLE_CLASS !== undefined;
const kills = isWhole ? 50 : 5;
const sheets = sheetNames().slice(1, 3);

let folder: string;
let truth: ClassTruth;
/** How many files an undisturbed run writes. */
let whole: number;
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
  const { code } = await multislit(words('undisturbed'));
  expect(code).toBe(0);
  whole = filesIn('undisturbed');
});
afterAll(() => {
  if (!skip) rmSync(folder, { recursive: true, force: true });
});

/** Files of a folder, those half written among them. */
function filesIn(to: string): number {
  if (!existsSync(at(to))) return 0;
  const entries = readdirSync(at(to), { recursive: true, withFileTypes: true });
  return entries.filter((entry) => entry.isFile()).length;
}

/** Start marking and kill it as soon as so many files are there; its exit code, null when it was killed. */
async function cutOff(to: string, files: number, started: Set<Started>): Promise<number | null> {
  const child = spawn(process.execPath, [built('cli.cjs'), ...words(to)], { stdio: 'ignore' });
  pids.add(child.pid ?? 0);
  const ended = new Promise<number | null>((done) => child.once('exit', done));
  const look = setInterval(() => {
    if (filesIn(to) < files) return;
    clearInterval(look);
    for (const one of descendants(child.pid ?? 0)) started.add(one);
    child.kill('SIGKILL');
  }, 5);
  const code = await ended;
  clearInterval(look);
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
          const there = filesIn(to);
          code = await cutOff(to, there + random.whole(whole + 1 - there), started);
          if (code === null) killed += 1;
        }
        if (code === null) code = (await multislit(words(to))).code;
        expect(code).toBe(0);
        expect(filesThatDiffer(at(to), at('undisturbed'))).toEqual([]);
        rmSync(at(to), { recursive: true });
      }
      await expect.poll(() => stillRunning(started), { timeout: hang }).toEqual([]);
      expect(staged()).toEqual([]);
    },
    ...(isWhole ? [1_800_000] : []),
  );
});
