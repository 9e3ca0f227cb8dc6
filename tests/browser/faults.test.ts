import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

describe.skipIf(skip)('when something goes wrong', () => {
  let context: BrowserContext;
  let page: Page;

  const desk = onStage({ viewport: { width: 1024, height: 768 } }, async (opened) => {
    context = opened;
    ({ page } = await newPage(context));
    await openSheet(page, desk);
  });
  /** Another tab with the same sheet, which has been opened before. */
  async function another(): Promise<Page> {
    await saved(page);
    const { page: two } = await newPage(context);
    await two.goto(page.url());
    await two.locator('[data-kernel="ready"]').waitFor();
    return two;
  }
  /** Close it once the first tab shows what it saved last. */
  async function close(two: Page, text: string): Promise<void> {
    await saved(two);
    await cell(page, '2-2-work').getByText(text).waitFor();
    await two.close();
  }
  /** Run a text in a cell, and wait for what it prints. */
  async function computes(where: Page, text: string, out: string | RegExp): Promise<void> {
    await type(where, '2-2-work', text);
    await run(where, '2-2-work');
    await cell(where, '2-2-work').locator('.error, .printed', { hasText: out }).waitFor();
  }
  /** Begin to run a text in a cell. */
  async function begin(where: Page, text: string): Promise<void> {
    await type(where, '2-2-work', text);
    await cell(where, '2-2-work').getByRole('button', { name: /^Run/ }).click();
  }
  const endless = async (where: Page) => {
    await begin(where, 'while (true) {}');
    await where.locator('[data-cell="2-2-work"][data-state="running"]').waitFor();
  };

  const sourceIn = (file: string, id: string) => {
    const { cells } = readNotebook(readFileSync(join(desk.folder, file), 'utf8'));
    const found = cells.find((one) => one.id === id);
    return found && sourceOf(found);
  };
  const inSheet = (id: string) => sourceIn('02-one-slit.ipynb', id);

  test('a loop without end is stopped and the values before it are kept', async () => {
    await type(page, '2-1-work', 'const before = 41;');
    await run(page, '2-1-work');
    await endless(page);
    await page.getByRole('button', { name: 'Stop' }).click();
    await cell(page, '2-2-work').locator('.error').waitFor();
    await computes(page, 'before + 1', '42');
  });

  test('Stop holds that overtakes its cell on the way to the kernel', async () => {
    await saved(page);
    const two = await context.newPage();
    let onTheWay: (() => void)[] | undefined;
    await two.routeWebSocket(/channels/, (line) => {
      const server = line.connectToServer();
      line.onMessage((message) => {
        if (onTheWay) onTheWay.push(() => server.send(message));
        else server.send(message);
      });
    });
    await two.goto(page.url());
    await two.locator('[data-kernel="ready"]').waitFor();
    await type(two, '2-2-work', 'while (true) {}');
    await saved(two);
    onTheWay = [];
    await cell(two, '2-2-work').getByRole('button', { name: /^Run/ }).click();
    await Promise.all([
      two.waitForResponse(/interrupt$/),
      two.getByRole('button', { name: 'Stop' }).click(),
    ]);
    for (const send of onTheWay) send();
    onTheWay = undefined;
    await cell(two, '2-2-work').locator('.error.stopped').waitFor();
    await computes(two, 'before + 1', '42');
    await close(two, 'before + 1');
  });

  test('an error is shown at its line', async () => {
    await computes(page, 'const a = 1;\nconst b = a + missing;', 'Line 2.');
    const marked = cell(page, '2-2-work').locator('.cm-line', {
      has: page.locator('.cm-lintRange-error'),
    });
    expect(await marked.textContent()).toBe('const b = a + missing;');
  });

  test('a restart forgets the values and the next run works', async () => {
    await page.getByRole('button', { name: 'Restart' }).click();
    await page.locator('[data-kernel="restarting"], [data-kernel="starting"]').waitFor();
    await page.locator('[data-kernel="ready"]').waitFor();
    await computes(page, 'typeof before', /undefined|Cannot find/);
  });

  test('a restart in one tab reaches the other tab that shares the kernel', async () => {
    const two = await another();
    await endless(two);
    await page.getByRole('button', { name: 'Restart' }).click();
    await cell(two, '2-2-work').getByText('The kernel was restarted while this ran.').waitFor();
    await two.locator('[data-kernel="ready"]').waitFor();
    await computes(two, '6 * 7', '42');
    await close(two, '6 * 7');
  });

  test('a kernel that dies is told of, and Restart brings a new one', async () => {
    await begin(page, "process.kill(process.pid, 'SIGKILL')");
    await page.getByRole('alert').getByText('The kernel has ended').waitFor();
    await page.getByRole('button', { name: 'Restart' }).click();
    await page.locator('[data-kernel="ready"]').waitFor();
    await computes(page, '6 * 7', '42');
    await saved(page);
  });

  test('two tabs that changed the same sheet: the reader chooses, and the other version is kept', async () => {
    const two = await another();
    // The second tab cannot save for a while, as on a machine that was asleep.
    await two.route('**/api/contents/**', (route) =>
      route.request().method() === 'PUT' ? route.abort() : route.continue(),
    );
    await type(two, '2-2-work', 'const bandWidth = 222;');
    await two.locator('[data-save="waiting"]').waitFor();
    await type(page, '2-2-work', 'const bandWidth = 111;');
    await saved(page);
    expect(inSheet('2-2-work')).toBe('const bandWidth = 111;');
    await two.unroute('**/api/contents/**');
    const dialog = two.getByRole('dialog');
    await dialog.waitFor();
    expect(await dialog.textContent()).toContain('const bandWidth = 111;');
    expect(await dialog.textContent()).toContain('const bandWidth = 222;');
    expect(inSheet('2-2-work')).toBe('const bandWidth = 111;');
    await dialog.getByRole('button', { name: 'Go on with what is here' }).click();
    await dialog.waitFor({ state: 'hidden' });
    await saved(two);
    expect(inSheet('2-2-work')).toBe('const bandWidth = 222;');
    const aside = readdirSync(desk.folder).find((name) => name.includes('put aside')) ?? '';
    expect(sourceIn(aside, '2-2-work')).toBe('const bandWidth = 111;');
    // The first tab had nothing unsaved, so it simply shows what was saved.
    await cell(page, '2-2-work').getByText('const bandWidth = 222;').waitFor();
    await two.close();
  });

  test('without the editor, which could not be fetched, cells are typed in and run all the same', async () => {
    await context.route('**/page/editor-*.js', (route) => route.abort());
    const two = await another();
    await context.unroute('**/page/editor-*.js');
    await cell(two, '2-2-work').locator('textarea').fill('const plain = 5;\nplain + 1');
    await run(two, '2-2-work');
    await cell(two, '2-2-work').locator('.printed', { hasText: '6' }).waitFor();
    await close(two, 'const plain = 5;');
    expect(inSheet('2-2-work')).toBe('const plain = 5;\nplain + 1');
  });

  test('a save that the disk refuses is told of in a sentence, tried again, and lost by no one', async () => {
    await page.route('**/api/contents/**', (route) =>
      route.request().method() === 'PUT'
        ? route.fulfill({
            status: 507,
            json: { message: '02-one-slit.ipynb does not fit: the disk is full.' },
          })
        : route.continue(),
    );
    await type(page, '2-2-work', 'const full = 1;');
    await page.getByRole('alert').getByText('the disk is full').waitFor();
    await page.unroute('**/api/contents/**');
    await saved(page);
    expect(inSheet('2-2-work')).toBe('const full = 1;');
  });

  test('working changed after it was checked is said to be so beside the verdict', async () => {
    await run(page, '2-3-answer');
    await type(page, '2-3-work', 'function intensity(s: number): number { return 2 * s; }');
    await cell(page, '2-3-answer').getByText('working changed since').waitFor();
    await run(page, '2-3-answer');
    await cell(page, '2-3-answer')
      .getByText('working changed since')
      .waitFor({ state: 'detached' });
  });

  test('the desk killed between saves: typed text outlives it, in the tab and over a reload', async () => {
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
    await type(page, '2-2-work', 'const first = 1;');
    await saved(page);
    await desk.kill();
    expect(inSheet('2-2-work')).toBe('const first = 1;');
    await type(page, '2-2-work', 'const second = 2;');
    await page.getByRole('alert').waitFor();
    await desk.start();
    // The new desk lets the browser in by its own address; the old tab then goes on by itself.
    const { page: fresh } = await newPage(context);
    await fresh.goto(desk.address);
    await saved(page);
    expect(inSheet('2-2-work')).toBe('const second = 2;');
    await page.locator('[data-kernel="ready"]').waitFor();
    // The browser's own remarks on a desk that is gone, and nothing of the page's making.
    expect(faults.filter((text) => !/Failed to load resource|WebSocket/.test(text))).toEqual([]);

    await desk.kill();
    await type(page, '2-2-work', 'const third = 3;');
    await page.locator('[data-save="waiting"]').waitFor();
    page.on('dialog', (dialog) => dialog.accept());
    await desk.start();
    await fresh.goto(desk.address);
    await page.reload();
    await cell(page, '2-2-work').getByText('const third = 3;').waitFor();
    await saved(page);
    expect(inSheet('2-2-work')).toBe('const third = 3;');
    await fresh.close();
  });
});
