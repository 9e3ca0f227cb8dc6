// A site of `hand-out --web` in a browser that has never been here: until its first sheet can be read, its first figure
// is there, and the first cell that is typed has its value. Files come compressed by gzip from this very machine.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliCompressSync } from 'node:zlib';
import { chromium, type Page } from 'playwright-core';
import { needs } from '../needs';
import { serveSite } from './parts/serve-site';
import { median } from './parts/timing';
import { watchedRun } from './parts/watched-run';

const rounds = Number(process.env.ROUNDS ?? 5);
const bounds = { readable: 0.5, figure: 1, typed: 2.5 };
type Moment = keyof typeof bounds;
type Moments = Partial<Record<Moment, number>>;

/** In the page, before any script of its own: begin a sheet, type a cell and run it as soon as each can be done. */
function work(): void {
  const moments: Record<string, number> = {};
  Object.assign(window, { moments });
  const note = (name: string) =>
    requestAnimationFrame(() =>
      setTimeout(() => {
        moments[name] ??= performance.now() / 1e3;
      }),
    );
  const find = <T extends HTMLElement>(selector: string) => document.querySelector<T>(selector);
  new MutationObserver(() => {
    if (find('#sheet .katex')) note('readable');
    if (find('#sheet figure.plot :is(img, .main-svg)')) note('figure');
    if (/\b42\b/.test(find('[data-cell="2-1-work"] .outputs')?.textContent ?? '')) note('typed');
  }).observe(document, { childList: true, subtree: true, characterData: true });
}

async function visit(page: Page, address: string): Promise<Required<Moments>> {
  await page.goto(address, { waitUntil: 'commit' });
  await page.getByLabel('Your student number').fill('204117');
  await page.getByRole('button', { name: 'Keep it' }).click();
  const begin = page.getByRole('button', { name: 'Begin One slit' });
  await begin.waitFor();
  // A fresh copy that was begun comes out by itself when its address is opened: that is the cold start.
  const fresh = await begin.evaluate((button: HTMLElement) => {
    const started = performance.now() / 1e3;
    button.click();
    return started;
  });
  await page.locator('[data-cell="2-1-work"] [contenteditable="true"]').click();
  await page.keyboard.press('ControlOrMeta+a');
  await page.keyboard.insertText('6 * 7');
  await page.keyboard.press('Shift+Enter');
  for (;;) {
    const moments = await page.evaluate(() => (window as unknown as { moments: Moments }).moments);
    const { readable, figure, typed } = moments;
    if (readable !== undefined && figure !== undefined && typed !== undefined)
      return { readable: readable - fresh, figure: figure - fresh, typed: typed - fresh };
    await new Promise((again) => setTimeout(again, 20));
  }
}

/** Bytes of the files that were asked for, without the plotting code, as the best compression of today sends them. */
function loaded({ files, asked }: Awaited<ReturnType<typeof serveSite>>): {
  readonly bytes: number;
  readonly plotting: boolean;
} {
  const names = [...asked].filter((name) => files.has(name) && !/plotly/.test(name));
  const sizes = names.map((name) => {
    const bytes = files.get(name) as Buffer;
    return name.endsWith('.woff2') ? bytes.length : brotliCompressSync(bytes).length;
  });
  const plotting = [...asked].some((name) => /plotly/.test(name));
  return { bytes: sizes.reduce((sum, size) => sum + size, 0), plotting };
}

export default async function siteStart() {
  const { path, skip } = needs('chromium');
  if (skip) return [];
  const folder = mkdtempSync(join(tmpdir(), 'multislit-bench-'));
  const site = process.env.SITE ?? join(folder, 'site');
  if (!process.env.SITE)
    await watchedRun(process.execPath, [join('.build', 'cli.cjs'), 'hand-out', '--web', site]);
  const served = await serveSite(site);
  try {
    const all: Required<Moments>[] = [];
    for (let round = 0; round < rounds; round++) {
      const browser = await chromium.launch({ executablePath: path, args: ['--no-sandbox'] });
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      await page.addInitScript(work);
      all.push(await visit(page, served.address));
      await browser.close();
    }
    const { bytes, plotting } = loaded(served);
    const row = (moment: Moment, until: string) => {
      const list = all.map((one) => one[moment]);
      return {
        name: `site-${moment}`,
        ours: median(list),
        baseline: bounds[moment],
        ratio: bounds[moment] / median(list),
        aim: 1,
        note: `median of ${rounds}, slowest ${Math.max(...list).toFixed(2)} s: from Begin ${until}, nothing cached; the baseline is the bound`,
      };
    };
    return [
      row('readable', 'until the sheet can be read'),
      row('figure', 'until its first figure is there'),
      row('typed', 'until the first cell typed has its value'),
      {
        name: 'site-bytes',
        ours: bytes / 1e6,
        baseline: 1.8,
        ratio: 1.8e6 / bytes,
        aim: 1,
        note: `MB (not seconds) that this took, by brotli${plotting ? ', the plotting code not counted' : ', the plotting code not among it'}`,
      },
    ];
  } finally {
    await served.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
