// The marking desk with 200 students and all questions of all sheets: from the server's answer until the table is painted,
// and from a letter in the search until the table stands narrowed down. The bounds are 1 s and 50 ms. With 2000 students: a
// page of rows scrolled by, against the same with 200, which nobody calls slow; it may take half as long again. The worst of
// the ratios is told.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { findSheet, sheetNames } from '../../kernel-lib/kernel/sheets';
import { seeded } from '../../kernel-lib/numerics/random';
import { launchBrowser } from '../browser/stage';

const rounds = 7;
const paintBound = 1;
const filterBound = 0.05;
const students = 200;
const many = 2000;
/** How much longer a page of rows may take where there are ten times as many. */
const scrollBound = 1.5;

/** A folder of marks as the marker leaves it, of a class that handed everything in. */
function writeMarks(folder: string, students: number): number {
  const random = seeded('a class for the marking table');
  const sheets = sheetNames().flatMap((name) => findSheet(name) ?? []);
  const marked = (asks: string, question: string, outOf: number) => {
    const isRight = random.uniform() < 0.7;
    return {
      ...{ question, asks, outOf, marks: isRight ? outOf : 0 },
      ...{ state: isRight ? 'agrees' : 'not yet', message: '1.234 mm, within the 1 % asked for.' },
      ...(isRight ? {} : { slip: `slip ${random.whole(4)}` }),
    };
  };
  const class_ = {
    ...{ lockDown: 'none', deadline: null, latePercent: 0, counts: 'latest' },
    sheets: sheets.map(({ name, title, questions }) => ({
      ...{ sheet: name, title, outOf: 20, returns: students },
      questions: questions.map(({ id, asks, marks }) => ({
        ...{ question: id, asks, outOf: marks },
        ...{ facility: 0.7, discrimination: 0.2, slips: [], toRead: 0, faults: 0 },
      })),
    })),
    students: Array.from({ length: students }, (_, i) => ({
      ...{ student: String(300_000 + 7 * i), total: 100, missing: [] },
      sheets: sheets.map(({ name, questions }) => ({
        ...{ sheet: name, marks: 14, outOf: 20, toRead: 0, daysLate: 0, counted: 14 },
        ...{ path: `${i}.ipynb`, time: '2026-11-20T10:00:00.000Z', failures: [] },
        questions: questions.map(({ id, asks, marks }) => marked(asks, id, marks)),
      })),
    })),
  };
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'class.json'), JSON.stringify(class_));
  return sheets.reduce((sum, { questions }) => sum + questions.length, 0);
}

/** In the page: note when the first mark has been painted. */
function watch(): void {
  const painted = () =>
    requestAnimationFrame(() =>
      setTimeout(() => Object.assign(window, { paintedAt: performance.now() })),
    );
  new MutationObserver((_, observer) => {
    if (!document.querySelector('.marks-table tbody td')) return;
    observer.disconnect();
    painted();
  }).observe(document, { childList: true, subtree: true });
}

/** In the page: seconds from the first byte of the server's answer until then. */
function sinceAnswer(): number | undefined {
  const { paintedAt } = window as unknown as { paintedAt?: number };
  const [entry] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[];
  return paintedAt && (paintedAt - entry.responseStart) / 1e3;
}

/** In the page: seconds from a letter typed into the search until the frame after the table was narrowed down. */
async function narrowed(text: string): Promise<number> {
  const input = document.querySelector<HTMLInputElement>('.filters input')!;
  const count = document.querySelector('.count')!;
  const before = count.textContent;
  const began = performance.now();
  input.value = text;
  input.dispatchEvent(new Event('input', { bubbles: true }));
  while (count.textContent === before) await new Promise(requestAnimationFrame);
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  return (performance.now() - began) / 1e3;
}

/** In the page: seconds for a page of rows, from the scroll until its frame was drawn; the middle of all down the table. */
async function scrolled(): Promise<number> {
  const frame = document.querySelector<HTMLElement>('.marks-frame')!;
  const pages = 40;
  const step = (frame.scrollHeight - frame.clientHeight) / pages;
  const times: number[] = [];
  for (let n = 1; n <= pages; n++) {
    await new Promise(requestAnimationFrame);
    const began = performance.now();
    frame.scrollTop = n * step;
    // The page hears of the scroll before the next frame, draws its rows, and they are laid out with it.
    await new Promise(requestAnimationFrame);
    await new Promise((done) => setTimeout(done));
    times.push((performance.now() - began) / 1e3);
  }
  return times.sort((a, b) => a - b)[pages >> 1];
}

/** How long a page of rows takes in a folder. */
async function scrollOf(browser: Browser, entry: string, folder: string): Promise<number> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  try {
    const page = await context.newPage();
    await page.goto(entry, { waitUntil: 'commit' });
    await page.goto(new URL(`/marking?folder=${encodeURIComponent(folder)}`, entry).href);
    await page.locator('.marks-table tbody td').first().waitFor();
    return await page.evaluate(scrolled);
  } finally {
    await context.close();
  }
}

async function round(browser: Browser, entry: string): Promise<{ paint: number; filter: number }> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  try {
    const page = await context.newPage();
    // Come in by the address with its token, then leave nothing behind but the cookie.
    await page.goto(entry, { waitUntil: 'commit' });
    const fresh = await context.newPage();
    await page.close();
    await fresh.addInitScript(watch);
    await fresh.goto(new URL('/marking', entry).href, { waitUntil: 'commit' });
    let paint: number | undefined;
    while (paint === undefined) {
      paint = await fresh.evaluate(sinceAnswer);
      await new Promise((again) => setTimeout(again, 20));
    }
    return { paint, filter: await fresh.evaluate(narrowed, '3001') };
  } finally {
    await context.close();
  }
}

const middle = (list: readonly number[]) => [...list].sort((a, b) => a - b)[list.length >> 1];

export default async function markingTable() {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-bench-'));
  const columns = writeMarks(join(folder, 'marks'), students);
  writeMarks(join(folder, 'many'), many);
  const words = ['open', join(folder, 'work'), '--no-browser', '--port', '0'];
  const more = ['--marks', join(folder, 'marks')];
  const desk = spawn(process.execPath, [join('.build', 'cli.cjs'), ...words, ...more], {
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
    const all: { paint: number; filter: number }[] = [];
    for (let n = 0; n < rounds; n++) all.push(await round(browser, entry));
    const paint = middle(all.map((one) => one.paint));
    const filter = middle(all.map((one) => one.filter));
    const few: number[] = [];
    const lots: number[] = [];
    for (let n = 0; n < rounds; n++) {
      few.push(await scrollOf(browser, entry, join(folder, 'marks')));
      lots.push(await scrollOf(browser, entry, join(folder, 'many')));
    }
    const [scroll, scrollFew] = [middle(lots), middle(few)];
    const [[ours, baseline]] = [
      [paint, paintBound],
      [filter, filterBound],
      [scroll, scrollBound * scrollFew],
    ].sort(([a, b], [c, d]) => b / a - d / c);
    return {
      name: 'marking-table',
      ...{ ours, baseline, ratio: baseline / ours, aim: 1 },
      note: `${students} × ${columns} answers, median of ${rounds}: painted after ${paint.toFixed(2)} s (bound ${paintBound} s), narrowed down in ${(1000 * filter).toFixed(0)} ms (bound ${1000 * filterBound} ms); of ${many} a page of rows in ${(1000 * scroll).toFixed(0)} ms, of ${students} in ${(1000 * scrollFew).toFixed(0)} ms; the worst of these`,
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
