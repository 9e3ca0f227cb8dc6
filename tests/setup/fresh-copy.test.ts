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
afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

function copyTracked(): void {
  const words = ['ls-files', '--cached', '--others', '--exclude-standard', '-z'];
  const { stdout } = spawnSync('git', words, { cwd: root, encoding: 'utf8' });
  for (const name of stdout.split('\0').filter((path) => path && existsSync(join(root, path)))) {
    const target = join(folder, name);
    mkdirSync(dirname(target), { recursive: true });
    cpSync(join(root, name), target);
  }
}

test.skipIf(!wanted)(
  'npm start on a fresh copy installs, builds and serves the worksheets',
  { timeout: 400_000 },
  async () => {
    copyTracked();
    const words = ['start', '--', join(folder, 'mine'), '--no-browser', '--port', '0'];
    // In a group of its own, so that Ctrl-C can be sent to all of it as a terminal does.
    const isWindows = process.platform === 'win32';
    const { said, address, end } = await startServer(['npm', ...words], folder);
    try {
      expect(said).toMatch(/Installing \d+ packages/);
      expect(said).toMatch(/Building multislit/);
      const page = await fetch(address, { redirect: 'follow' });
      expect([200, 302, 303]).toContain(page.status);
      expect(new URL(address).hostname).toBe('127.0.0.1');
    } finally {
      await end();
    }
  },
);
