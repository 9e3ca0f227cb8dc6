import { spawn } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  mkdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, test } from 'vitest';
import { startLineProcess } from '../../kernel-lib/confined/line-process';
import { runReturn } from '../../kernel-lib/confined/run-return';
import { createStage, librariesElsewhere, openConfinement } from '../../kernel-lib/confined/walls';
import { built } from '../../kernel-lib/kernel/home';
import { handIn, machineMarks, modelReturn, oneSlit } from '../cli/class-for-test';
import { multislit } from '../cli/multislit';
import { needs } from '../needs';
import { scratch } from '../scratch';

const { at } = scratch('elsewhere-');
beforeAll(() => {
  handIn(at('returns'), '1001.ipynb', modelReturn(oneSlit, '1001'));
});

function marksIn(marks: string): [string, number][] {
  const rows: Record<string, string>[] = parse(readFileSync(join(marks, 'marks.csv'), 'utf8'), {
    columns: true,
    bom: true,
  });
  return rows.map((row) => [row.student, Number(row[oneSlit])]);
}

describe.skipIf(process.platform === 'win32')('a temporary folder that a link leads to', () => {
  const args = (to: string) => ['mark', at('returns'), '--to', to, '--sheet', oneSlit];
  beforeAll(() => {
    mkdirSync(at('private', 'tmp'), { recursive: true });
    symlinkSync(at('private', 'tmp'), at('tmp'));
  });

  test('marks without lock-down as any other does', async () => {
    const to = at('marks-linked');
    const ended = await multislit([...args(to), '--unconfined'], {
      env: { TMPDIR: at('tmp') },
    });
    expect([ended.code, ended.err]).toEqual([0, expect.stringContaining('WITHOUT lock-down')]);
    expect(marksIn(to)).toEqual([['1001', machineMarks(oneSlit)]]);
  }, 120_000);

  test.skipIf(needs('bwrap').skip)(
    'and locked down',
    async () => {
      const to = at('marks-linked-locked');
      const ended = await multislit(args(to), { env: { TMPDIR: at('tmp') } });
      expect(ended.code).toBe(0);
      expect(marksIn(to)).toEqual([['1001', machineMarks(oneSlit)]]);
    },
    120_000,
  );
});

describe('a machine on which no child begins', () => {
  test('is found out before anything is marked, also without lock-down', async () => {
    const stage = createStage();
    rmSync(join(stage.folder, '.build', 'confined.cjs'));
    await expect(openConfinement(stage)).rejects.toThrow(/cannot be run here.*confined\.cjs/s);
    stage.remove();
  });

  test('is at fault itself, never the student', async () => {
    const ends = (...script: string[]) =>
      startLineProcess(process.execPath, ['-e', script.join('')], {}, 3, 1000);
    const converter = {
      convert: async () => [
        { id: 'a', code: { id: 'a', text: '', names: [], modules: [], isAsync: false } },
      ],
      places: async () => new Map(),
      kill() {},
    };
    const sheet = { name: oneSlit, title: 'One slit', given: '', questions: [] };
    const asked = { sheet, student: '1001', cells: [{ id: 'a', source: '' }], questions: [] };
    const run = (child: () => ReturnType<typeof ends>) =>
      runReturn(asked, converter, child, { cell: 2000, sheet: 20_000 });
    await expect(
      run(() => ends(`console.error('no such place'); process.exit(3)`)),
    ).rejects.toThrow('No process for its code began on this machine (no such place)');
    // It began with a cell, so what ended it was in that cell.
    const began = `require('fs').writeSync(3, '{"at":"ready"}\\n{"at":"cell","id":"a"}\\n');`;
    expect((await run(() => ends(began))).failure).toMatch(/ended the run/);
  });
});

/**
 * A copy of this Node that asks for its C++ library by another name of the same length, which only a folder of its
 * own has: as Nodes of conda and of module systems have theirs elsewhere than the system.
 */
function nodeOfItsOwn(place: string): string {
  const library = librariesNow().find((path) => path.includes('libstdc++.so.6')) as string;
  mkdirSync(join(place, 'bin'), { recursive: true });
  mkdirSync(join(place, 'lib'), { recursive: true });
  copyFileSync(library, join(place, 'lib', 'libstdx++.so.6'));
  const bytes = readFileSync(realpathSync(process.execPath));
  const name = Buffer.from('libstdc++.so.6\0');
  for (let at = bytes.indexOf(name); at >= 0; at = bytes.indexOf(name, at + 1))
    bytes.write('libstdx++.so.6', at);
  const node = join(place, 'bin', 'node');
  writeFileSync(node, bytes);
  chmodSync(node, 0o755);
  return node;
}

const librariesNow = () =>
  (process.report.getReport() as { sharedObjects?: string[] }).sharedObjects ?? [];
const sharesItsLibrary = librariesNow().some((path) => path.includes('libstdc++.so.6'));

describe.skipIf(needs('bwrap').skip || !sharesItsLibrary)(
  'a Node whose libraries lie elsewhere',
  () => {
    test('this one’s lie with the system', () => expect(librariesElsewhere()).toEqual([]));

    /** `multislit …` by another Node. */
    function by(node: string, env: Record<string, string>, args: readonly string[]) {
      const child = spawn(node, [built('cli.cjs'), ...args], { env: { ...process.env, ...env } });
      let err = '';
      child.stderr.on('data', (piece) => {
        err += piece;
      });
      child.stdout.resume();
      return new Promise<{ code: number | null; err: string }>((done) =>
        child.once('close', (code) => done({ code, err })),
      );
    }

    test('marks, locked down and without', async () => {
      const place = at('module system');
      const node = nodeOfItsOwn(place);
      const env = { LD_LIBRARY_PATH: join(place, 'lib') };
      const args = ['mark', at('returns'), '--sheet', oneSlit];
      for (const more of [[], ['--unconfined']]) {
        const to = at(`marks-elsewhere${more.join('')}`);
        expect(await by(node, env, [...args, '--to', to, ...more])).toMatchObject({ code: 0 });
        expect(marksIn(to)).toEqual([['1001', machineMarks(oneSlit)]]);
      }
    }, 240_000);
  },
);
