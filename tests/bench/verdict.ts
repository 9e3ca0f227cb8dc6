// From the press of a key on Check until the verdict on what was just typed is painted: on the desk, and in nothing but
// a browser. The bounds are a tenth of a second and 0.15 s, for 95 presses of a hundred.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { cell, DeskProcess, launchBrowser, openSheet, saved, skip, type } from '../browser/stage';
import { serveSite } from './parts/serve-site';
import { median } from './parts/timing';
import { watchedRun } from './parts/watched-run';

const rounds = Number(process.env.ROUNDS ?? 40);
const warmUps = 5;

/** In the page: seconds from each press of Enter until the cell with this id stands still again, its verdict painted. */
function watch(id: string): void {
  const times: number[] = [];
  Object.assign(window, { times });
  const frame = document.querySelector<HTMLElement>(`[data-cell="${id}"]`)!;
  let pressed = 0;
  let runs = frame.dataset.runs;
  addEventListener(
    'keydown',
    ({ key, timeStamp }) => {
      if (key === 'Enter') pressed = timeStamp;
    },
    { capture: true },
  );
  new MutationObserver(() => {
    const { state, runs: now } = frame.dataset;
    if (!pressed || state !== 'still' || now === runs || !frame.querySelector('.verdict')) return;
    runs = now;
    const begun = pressed;
    pressed = 0;
    requestAnimationFrame(() => setTimeout(() => times.push((performance.now() - begun) / 1e3)));
  }).observe(frame, { attributes: true, childList: true, subtree: true });
}

const timesIn = (page: Page) =>
  page.evaluate(() => (window as unknown as { times: number[] }).times);

async function verdicts(page: Page): Promise<number[]> {
  await page.evaluate(watch, '2-1-answer');
  const check = cell(page, '2-1-answer').getByRole('button', { name: /^Check/ });
  for (let round = 1; round <= rounds + warmUps; round++) {
    await type(page, '2-1-work', `const firstDarkLine = ${round} / 100;`);
    await saved(page);
    await check.focus();
    await page.keyboard.press('Enter');
    while ((await timesIn(page)).length < round)
      await new Promise((again) => setTimeout(again, 20));
  }
  return (await timesIn(page)).slice(warmUps).sort((a, b) => a - b);
}

function row(name: string, bound: number, times: readonly number[], where: string) {
  const ours = times[Math.ceil(0.95 * times.length) - 1];
  const note = `95 of 100 presses, median ${(median(times) * 1e3).toFixed(0)} ms, slowest ${((times.at(-1) ?? NaN) * 1e3).toFixed(0)} ms, ${where}; the baseline is the bound`;
  return { name, ours, baseline: bound, ratio: bound / ours, aim: 1, note };
}

async function onDesk(browser: Browser) {
  const desk = new DeskProcess();
  await desk.start();
  try {
    const page = await browser.newPage();
    await openSheet(page, desk);
    return row('verdict-desk', 0.1, await verdicts(page), 'on the desk');
  } finally {
    await desk.remove();
  }
}

async function onSite(browser: Browser) {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-bench-'));
  await watchedRun(process.execPath, [
    join('.build', 'cli.cjs'),
    ...['hand-out', '--web', join(folder, 'site')],
  ]);
  const site = await serveSite(join(folder, 'site'));
  try {
    const page = await browser.newPage();
    await openSheet(page, site);
    return row('verdict-browser', 0.15, await verdicts(page), 'in nothing but a browser');
  } finally {
    await site.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

export default async function verdict() {
  if (skip) return [];
  const browser = await launchBrowser();
  try {
    return [await onDesk(browser), await onSite(browser)];
  } finally {
    await browser.close();
  }
}
