// From `npm start` (installed and built) until the first sheet can be read in Chromium, and until its first plot.
// Baseline in the same run: a bare node server with one empty page, and the same Chromium showing it.
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { launchBrowser } from '../browser/stage';
import { median } from './parts/timing';

const rounds = 5;
const start = 'kernel-lib/setup/start.mjs';
const bare = `require('node:http').createServer((_, answer) => { answer.setHeader('content-type', 'text/html'); answer.end('<!doctype html><title>x</title><h1>Ready</h1>'); }).listen(0, '127.0.0.1', function () { console.log('http://127.0.0.1:' + this.address().port + '/'); });`;

/** Start a server that prints its address, and show that address in a Chromium started then. */
async function timed<T>(
  args: string[],
  watch: (page: Page, seconds: () => number) => Promise<T>,
): Promise<T> {
  const begun = performance.now();
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await addressOf(child);
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.goto(address, { waitUntil: 'commit' });
    return await watch(page, () => (performance.now() - begun) / 1e3);
  } finally {
    await browser.close();
    child.kill();
    await once(child, 'exit');
  }
}

function addressOf(child: ChildProcess): Promise<string> {
  return new Promise((done, fail) => {
    let said = '';
    child.stdout?.on('data', (text) => {
      said += text;
      const match = /http:\S+/.exec(said);
      if (match) done(match[0]);
    });
    child.once('exit', (code) => fail(new Error(`The server ended (${code}): ${said}`)));
  });
}

async function ours(): Promise<{ readable: number; plot: number }> {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-bench-'));
  const args = [start, folder, '--port', '0', '--no-browser', '--student', '204117'];
  try {
    return await timed(args, async (page, seconds) => {
      await page.getByRole('button', { name: 'Begin One slit' }).click();
      await page.getByRole('heading', { level: 1, name: 'One slit' }).waitFor();
      await page.locator('#sheet .katex').first().waitFor();
      const readable = seconds();
      await page.locator('figure.plot :is(img, .main-svg)').first().waitFor();
      return { readable, plot: seconds() };
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const empty = () =>
  timed(['-e', bare], async (page, seconds) => {
    await page.getByRole('heading', { name: 'Ready' }).waitFor();
    return seconds();
  });

export default async () => {
  if (!existsSync(start)) throw new Error(`${start} is missing: run from the project's root.`);
  const readable: number[] = [];
  const plot: number[] = [];
  const baseline: number[] = [];
  for (let round = 0; round < rounds; round++) {
    baseline.push(await empty());
    const one = await ours();
    readable.push(one.readable);
    plot.push(one.plot);
  }
  const base = median(baseline);
  const row = (name: string, list: number[], aim: number, until: string) => ({
    name,
    ours: median(list),
    baseline: base,
    ratio: base / median(list),
    aim,
    note: `median of ${rounds}: from starting node with the desk to ${until}; baseline: a bare node server and an empty page in Chromium`,
  });
  return [
    row('start-readable', readable, 0.3, 'the first sheet with its formulas on the screen'),
    row('start-plot', plot, 0.18, "the first sheet's film strips on the screen"),
  ];
};
