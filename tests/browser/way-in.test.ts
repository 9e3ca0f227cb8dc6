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
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { launchBrowser, newPage, skip } from './stage';

const cli = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));

/** Sizes of KaTeX's own documentation of `maxSize`, and others of the kind. */
const formulas = [
  '\\rule{500em}{500em}',
  '\\rule{9999px}{9999px}',
  'a\\kern{900em}b',
  'a\\hspace{9000pt}b',
  '\\raisebox{800em}{c}',
  'd\\\\[700em] e',
];
const sizes: Notebook = {
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [
    {
      cell_type: 'markdown',
      id: 'sizes',
      metadata: {},
      source: `# Sizes\n\n${formulas.map((one) => `$${one}$`).join('\n\n')}\n\nThe end of it.`,
    },
  ],
};

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
    writeFileSync(join(work, 'sizes.ipynb'), writeNotebook(sizes));
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
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    desk?.kill('SIGTERM');
    if (desk) await once(desk, 'exit');
    rmSync(folder, { recursive: true, force: true });
  }, 60_000);

  test('is a page on the disk that leads to the worksheets, and lets in this browser only', async () => {
    await page.goto(handed);
    await page.getByRole('link', { name: 'sizes.ipynb' }).waitFor();
    const { origin } = new URL(/http:\S+/.exec(said)?.[0] ?? '');
    expect(page.url()).toBe(`${origin}/`);
    await page.reload();
    await page.getByRole('link', { name: 'sizes.ipynb' }).waitFor();
    const other = await (await browser.newContext()).newPage();
    expect((await other.goto(`${origin}/`))?.status()).toBe(401);
  }, 60_000);

  test('a formula of any size keeps the page in sight', async () => {
    await page.getByRole('link', { name: 'sizes.ipynb' }).click();
    const end = page.getByText('The end of it.');
    await end.waitFor();
    const box = await end.boundingBox();
    const { widest, size, over } = await page.evaluate(() => ({
      widest: Math.max(
        ...[...document.querySelectorAll('.katex .rule')].map(
          (node) => node.getBoundingClientRect().width,
        ),
      ),
      size: Number.parseFloat(
        getComputedStyle(document.querySelector('.katex') as Element).fontSize,
      ),
      over: document.documentElement.scrollWidth - window.innerWidth,
    }));
    // 20 em for each size that is given; six formulas stand above the end.
    expect(widest / size).toBeLessThan(20.5);
    expect((box?.y ?? Number.POSITIVE_INFINITY) / size).toBeLessThan(8 * 20);
    expect(over).toBeLessThanOrEqual(0);
    if (process.env.SCREENSHOTS)
      await page.screenshot({ path: join(process.env.SCREENSHOTS, 'sizes.png'), fullPage: true });
  }, 60_000);
});
