import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { codeCells } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { root } from '../../kernel-lib/setup/places.mjs';
import { startServer } from '../start-server';
import { oneSlit } from './class-for-test';
import { type HandOut, handOut } from './hand-out-stage';

let made: HandOut;
beforeAll(async () => {
  made = await handOut();
});
afterAll(() => made.remove());

/** `npm start`, or the script behind it, until it tells its address and answers there. */
async function served(words: readonly string[], cwd: string) {
  mkdirSync(made.at('home'), { recursive: true });
  const started = await startServer(words, cwd, {
    HOME: made.at('home'),
    USERPROFILE: made.at('home'),
  });
  try {
    const { status } = await fetch(started.address, { redirect: 'manual' });
    return { said: started.said, status };
  } finally {
    await started.end();
  }
}

function unpack(name: string): string {
  for (const [path, bytes] of Object.entries(made.zip)) {
    const file = made.at(name, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, bytes);
  }
  return made.at(name, 'class');
}

async function runsOneSlit(home: string): Promise<void> {
  const to = join(dirname(home), 'ran.ipynb');
  const words = ['run', join(home, '.build/worksheets', oneSlit, 'sheet.ipynb'), '--to', to];
  const child = spawn(
    process.execPath,
    [join(home, '.build/cli.cjs'), ...words, '--student', '204117'],
    {
      cwd: dirname(home),
    },
  );
  expect(await new Promise((done) => child.once('exit', done))).toBe(0);
  const cells = codeCells(readNotebook(readFileSync(to, 'utf8')));
  const first = cells.find(({ id }) => id === 'given');
  expect(JSON.stringify(first?.outputs)).toMatch(/Student 204117/);
  expect(JSON.stringify(first?.outputs)).toMatch(/image\/png/);
}

describe('unpacked elsewhere', () => {
  test('it starts without building and runs a sheet', async () => {
    const home = unpack('at home');
    symlinkSync(join(root, 'node_modules'), join(home, 'node_modules'), 'junction');
    const script = join(home, 'kernel-lib/setup/start.mjs');
    const mine = made.at('mine');
    const words = [process.execPath, script, mine, '--no-browser', '--port', '0'];
    const { said, status } = await served(words, home);
    expect(said).not.toMatch(/Building|Installing/);
    expect(said).toMatch(/Optics II, Alderbeck College. Hand in by 2026-12-04 23:59/);
    expect([200, 302, 303]).toContain(status);
    await runsOneSlit(home);
  });

  const wanted = Boolean(process.env.CI || process.env.MULTISLIT_FRESH);
  if (!wanted) console.warn('Skipped: npm start in a hand-out (MULTISLIT_FRESH=1 runs it)');
  test.skipIf(!wanted)(
    'npm start installs what is missing, then serves and runs a sheet',
    async () => {
      const home = unpack('fresh');
      const { said, status } = await served(
        ['npm', 'start', '--', '--no-browser', '--port', '0'],
        home,
      );
      expect(said).toMatch(/Installing \d+ packages/);
      expect(said).not.toMatch(/Building/);
      expect([200, 302, 303]).toContain(status);
      expect(existsSync(made.at('home', 'multislit'))).toBe(true);
      await runsOneSlit(home);
    },
  );
});
