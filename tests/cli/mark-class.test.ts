import { spawn } from 'node:child_process';
import { cpSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { beforeAll, describe, expect, test } from 'vitest';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import { seeded } from '../../kernel-lib/numerics/random';
import { needs } from '../needs';
import { scratch } from '../scratch';
import { compareWithTruth } from './made-up-class/compare';
import { descendants, type Started, stillRunning } from './made-up-class/descendants';
import { filesThatDiffer } from './made-up-class/files-of';
import { makeClass, rosterText } from './made-up-class/make-class';
import { planClass, samplePlaces } from './made-up-class/plan';
import { type ClassTruth, dueAt, latePercent } from './made-up-class/truth';
import { entry, hang, multislit } from './multislit';

const { skip } = needs('bwrap');
const isWhole = process.env.MULTISLIT_WHOLE_CLASS !== undefined;
const kills = isWhole ? 50 : 5;
/** Enough for what does not depend on the sheet. */
const sheets = sheetNames().slice(1, 3);
const places = samplePlaces(planClass(sheets, 60), 18);

const { at } = scratch('mark-class-');
let made: ClassTruth;
/** One job unless told: each starts a compiler, which takes longer than the returns of this class. */
const words = (to: string, { from = 'returns', jobs = 1, order = sheets } = {}) => [
  ...['mark', at(from), '--to', at(to), '--roster', at('roster.csv'), '--jobs', String(jobs)],
  ...['--deadline', new Date(dueAt).toISOString(), '--late', String(latePercent)],
  ...['--sheet', ...order],
];

/** The class is as that of the first run is: every file, byte for byte. */
const expectSame = (to: string) => expect(filesThatDiffer(at(to), at('plain'))).toEqual([]);

beforeAll(async () => {
  if (skip) return;
  made = makeClass(at('returns'), places);
  writeFileSync(at('roster.csv'), rosterText(made));
  const { code, err } = await multislit(words('plain'));
  expect([code, err.replace(/^\d+ of .*\n/gm, '')]).toEqual([0, '']);
});

describe.skipIf(skip)('a class with every kind of trouble', () => {
  test('has the marks that it was made with', () => {
    expect(compareWithTruth(at('plain'), made).differences).toEqual([]);
    expect(made.returns.size).toBeGreaterThan(9);
    expect(made.aside.size).toBeGreaterThan(4);
  });

  test('with two jobs and the sheets named the other way round, every file is the same', async () => {
    await multislit(words('several', { jobs: 2, order: [...sheets].reverse() }));
    expectSame('several');
  });

  test('marked a part first, the rest when it has come, every file is the same', async () => {
    makeClass(at('part'), places.filter((_, i) => i % 2 === 1).reverse());
    await multislit(words('in-parts', { from: 'part' }));
    makeClass(at('part'), [...places].reverse());
    const { code } = await multislit(words('in-parts', { from: 'part' }));
    expect(code).toBe(0);
    // All but where the returns lay.
    expect(filesThatDiffer(at('in-parts'), at('plain'))).toEqual(['settings.json']);
    const settings = (to: string) => {
      const { returns, ...rest } = JSON.parse(readFileSync(at(to, 'settings.json'), 'utf8'));
      return rest;
    };
    expect(settings('in-parts')).toEqual(settings('plain'));
  });

  test('marked twice, nothing runs again and nothing changes', async () => {
    cpSync(at('plain'), at('twice'), { recursive: true });
    const { out } = await multislit(words('twice'));
    expect(out).toContain(`${made.returns.size} stood from before`);
    expectSame('twice');
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
    expectSame('twice');
  });
});

describe.skipIf(skip)('kill -9', () => {
  /** Files of a folder, those half written among them. */
  function filesIn(to: string): number {
    if (!existsSync(at(to))) return 0;
    const entries = readdirSync(at(to), { recursive: true, withFileTypes: true });
    return entries.filter((one) => one.isFile()).length;
  }

  const pids = new Set<number>();
  /** Start marking and kill it as soon as `isTime`; its exit code, null when it was killed. */
  async function cutOff(
    to: string,
    isTime: (pid: number) => boolean,
    started: Set<Started>,
    jobs = 1,
  ): Promise<number | null> {
    const child = spawn(process.execPath, [entry, ...words(to, { jobs })], { stdio: 'ignore' });
    const { pid = 0 } = child;
    pids.add(pid);
    const ended = new Promise<number | null>((done) => child.once('exit', done));
    const look = setInterval(() => {
      if (!isTime(pid)) return;
      clearInterval(look);
      for (const one of descendants(pid)) started.add(one);
      child.kill('SIGKILL');
    }, 10);
    const code = await ended;
    clearInterval(look);
    return code;
  }

  test(
    `at ${kills} moments: started again, it ends as an undisturbed run does, with nothing left behind`,
    async () => {
      const random = seeded('moments of kill -9');
      const started = new Set<Started>();
      const whole = filesIn('plain');
      // At first when two converters and two children, each inside its name space, are at work.
      let code = await cutOff('series-0', (pid) => descendants(pid).length > 6, started, 2);
      expect([code, started.size > 6]).toEqual([null, true]);
      let killed = 1;
      for (let series = 0; killed < kills; series++) {
        const to = `series-${series}`;
        code = null;
        while (code === null && killed < kills) {
          const there = filesIn(to);
          const files = there + random.whole(whole + 1 - there);
          code = await cutOff(to, () => filesIn(to) >= files, started);
          if (code === null) killed += 1;
        }
        if (code === null) code = (await multislit(words(to))).code;
        expect(code).toBe(0);
        expectSame(to);
        rmSync(at(to), { recursive: true });
      }
      await expect.poll(() => stillRunning(started), { timeout: hang }).toEqual([]);
      const staged = readdirSync(tmpdir()).filter((name) =>
        pids.has(Number(/^multislit-marking-\w+-(\d+)-/.exec(name)?.[1])),
      );
      expect(staged).toEqual([]);
    },
    ...(isWhole ? [1_800_000] : []),
  );
});
