// From the server's answer until a sheet can be read in Chromium, formulas set: a browser that has never been here.
// The bound is half a second.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { launchBrowser } from '../browser/stage';

const rounds = 9;
const bound = 0.5;
const sheet = '02-one-slit';

/** In the page: note when the sheet's first formula has been painted. */
function watch(): void {
  const found = () => document.querySelector('#sheet .katex');
  const painted = () =>
    requestAnimationFrame(() =>
      setTimeout(() => Object.assign(window, { readableAt: performance.now() })),
    );
  new MutationObserver((_, observer) => {
    if (!found()) return;
    observer.disconnect();
    painted();
  }).observe(document, { childList: true, subtree: true });
}

/** In the page: seconds from the first byte of the server's answer until then. */
function sinceAnswer(): number | undefined {
  const { readableAt } = window as unknown as { readableAt?: number };
  const [entry] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[];
  return readableAt && (readableAt - entry.responseStart) / 1e3;
}

async function readable(browser: Browser, entry: string): Promise<number> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  try {
    const page = await context.newPage();
    // Come in by the address with its token, then leave nothing behind but the cookie.
    await page.goto(entry, { waitUntil: 'commit' });
    const fresh = await context.newPage();
    await page.close();
    await fresh.addInitScript(watch);
    await fresh.goto(new URL(`/sheet/${sheet}.ipynb`, entry).href, { waitUntil: 'commit' });
    for (;;) {
      const seconds = await fresh.evaluate(sinceAnswer);
      if (seconds !== undefined) return seconds;
      await new Promise((again) => setTimeout(again, 20));
    }
  } finally {
    await context.close();
  }
}

export default async function pageReadable() {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-bench-'));
  const args = ['open', folder, '--no-browser', '--student', '204117', '--port', '0'];
  const desk = spawn(process.execPath, [join('.build', 'cli.cjs'), ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const browser = await launchBrowser();
  try {
    let said = '';
    for await (const text of desk.stdout) {
      said += text;
      if (/http:\S+\s/.test(said)) break;
    }
    const entry = /http:\S+/.exec(said)?.[0] ?? '';
    const page = await browser.newPage();
    await page.goto(entry);
    await page.getByRole('button', { name: 'Begin One slit' }).click();
    await page.locator('#sheet .katex').first().waitFor();
    await page.close();
    const seconds: number[] = [];
    for (let round = 0; round < rounds; round++) seconds.push(await readable(browser, entry));
    const sorted = seconds.sort((a, b) => a - b);
    const ours = sorted[rounds >> 1];
    return {
      name: 'page-readable',
      ours,
      baseline: bound,
      ratio: bound / ours,
      aim: 1,
      note: `median of ${rounds}, slowest ${sorted[rounds - 1].toFixed(2)} s, nothing cached; the baseline is the bound`,
    };
  } finally {
    await browser.close();
    if (desk.exitCode === null) {
      desk.kill();
      await once(desk, 'exit');
    }
    rmSync(folder, { recursive: true, force: true });
  }
}
