import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { launchBrowser, newPage, skip } from './stage';

const cli = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));

// The program that opens browsers is stood in for on Linux only.
describe.skipIf(skip || process.platform !== 'linux')('what the desk hands to a browser', () => {
  let folder: string;
  let desk: ChildProcess;
  let browser: Browser;
  let page: Page;
  let handed = '';
  let said = '';

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'way-in-'));
    const work = join(folder, 'work');
    const bin = join(folder, 'bin');
    const noted = join(folder, 'noted.txt');
    for (const one of [work, bin]) mkdirSync(one);
    const script = `require('fs').writeFileSync(${JSON.stringify(noted)}, process.argv[2] + '\\n')`;
    writeFileSync(join(bin, 'xdg-open'), `#!${process.execPath}\n${script};\n`);
    chmodSync(join(bin, 'xdg-open'), 0o755);
    desk = spawn(process.execPath, [cli, 'open', work, '--port', '0', '--student', '204117'], {
      env: { ...process.env, PATH: `${bin}${delimiter}${process.env.PATH}` },
    });
    desk.stdout?.on('data', (text) => {
      said += text;
    });
    const heard = () => (existsSync(noted) ? readFileSync(noted, 'utf8') : '');
    await vi.waitFor(() => expect(heard()).toMatch(/\n/), { timeout: 60_000, interval: 100 });
    handed = heard().trim();
    browser = await launchBrowser();
    ({ page } = await newPage(await browser.newContext()));
  });
  afterAll(async () => {
    await browser?.close();
    desk?.kill('SIGTERM');
    if (desk) await once(desk, 'exit');
    rmSync(folder, { recursive: true, force: true });
  });

  test('is a page on the disk that leads to the worksheets, and lets in this browser only', async () => {
    await page.goto(handed);
    await page.getByRole('button', { name: 'Begin One slit' }).waitFor();
    const { origin } = new URL(/http:\S+/.exec(said)?.[0] ?? '');
    expect(page.url()).toBe(`${origin}/`);
    await page.reload();
    await page.getByRole('button', { name: 'Begin One slit' }).waitFor();
    const other = await (await browser.newContext()).newPage();
    expect((await other.goto(`${origin}/`))?.status()).toBe(401);
  });
});
