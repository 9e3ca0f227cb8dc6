import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { root } from '../../kernel-lib/setup/places.mjs';
import { startServer } from '../start-server';

/** Fetches all packages from the registry, so it runs in CI and where a person asks for it. */
const wanted = Boolean(process.env.CI || process.env.MULTISLIT_FRESH);
if (!wanted) {
  console.warn(
    'Skipped: the fresh copy, which installs everything anew (MULTISLIT_FRESH=1 runs it)',
  );
}

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'fresh copy '));
});
// A busy disk takes its time over tens of thousands of files.
afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

function copyTracked(): void {
  const args = ['ls-files', '--cached', '--others', '--exclude-standard', '-z'];
  const { stdout } = spawnSync('git', args, { cwd: root, encoding: 'utf8' });
  for (const name of stdout.split('\0').filter((path) => path && existsSync(join(root, path)))) {
    const target = join(folder, name);
    mkdirSync(dirname(target), { recursive: true });
    cpSync(join(root, name), target);
  }
}

test.skipIf(!wanted)(
  'npm start on a fresh copy installs, builds and serves the worksheets',
  async () => {
    copyTracked();
    const args = ['start', '--', join(folder, 'mine'), '--no-browser', '--port', '0'];
    const { said, address, end } = await startServer(['npm', ...args], folder);
    try {
      expect(said).toMatch(/Installing \d+ packages/);
      expect(said).toMatch(/Building multislit/);
      expect(new URL(address).hostname).toBe('127.0.0.1');
      // The token of the address is exchanged for a cookie, as a browser does it.
      const door = await fetch(address, { redirect: 'manual' });
      const cookie = door.headers.getSetCookie()[0].split(';')[0];
      const page = await fetch(new URL('/', address), { headers: { cookie } });
      expect(page.status).toBe(200);
      expect(await page.text()).toMatch(/<title>Worksheets<\/title>/);
    } finally {
      await end();
    }
  },
);
