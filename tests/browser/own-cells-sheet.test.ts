import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

describe.skipIf(skip)("cells of the student's own, and run from here", () => {
  let page: Page;
  const question = () => page.locator('#q-2\\.1');
  const own = () => question().locator('[data-cell^="own-"]');
  const inFile = () =>
    readNotebook(readFileSync(join(desk.folder, '02-one-slit.ipynb'), 'utf8')).cells;

  const desk = onStage({}, async (context) => {
    ({ page } = await newPage(context));
    await openSheet(page, desk);
  });

  /** Add by keyboard, and type at once: the new cell has the focus. */
  async function add(what: string, text: string): Promise<void> {
    const before = await own().count();
    await question().locator('.add-own summary').focus();
    await page.keyboard.press('Enter');
    await question().getByRole('button', { name: what }).focus();
    await page.keyboard.press('Enter');
    await page.waitForFunction(
      (count) =>
        document.querySelectorAll('#q-2\\.1 [data-cell^="own-"]').length > count &&
        document.activeElement?.matches('[data-cell^="own-"] :is(.cm-content, textarea)'),
      before,
    );
    await page.keyboard.insertText(text);
  }

  test('working above, working and a note below: saved in their places, and back after a reload', async () => {
    await add('Working above yours', 'const helper = 3;');
    await add('A note here', 'Half: $a/2$.');
    await add('Working here', 'helper * 100');
    await type(page, '2-1-work', 'const firstDarkLine = helper;');
    await saved(page);
    const cells = inFile();
    const at = cells.findIndex(({ id }) => id === '2-1-text');
    expect(cells.slice(at + 1, at + 6).map(sourceOf)).toEqual([
      'const helper = 3;',
      'const firstDarkLine = helper;',
      "check('2.1', firstDarkLine);",
      'Half: $a/2$.',
      'helper * 100',
    ]);
    expect(cells[at + 1].metadata).toEqual({});
    await page.reload();
    await own().locator('.katex').waitFor();
    expect(await own().count()).toBe(3);
  });

  test('Check runs the cell that was added above first', async () => {
    await run(page, '2-1-answer');
    await cell(page, '2-1-answer').locator('.verdict').waitFor();
    expect(await question().locator('.error').count()).toBe(0);
  });

  test('taken out, then put back after another cell ran: text and place as before', async () => {
    const last = own().last();
    await last.locator('.cm-content').waitFor();
    await last.getByRole('button', { name: /^Remove/ }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('Working of your own was removed.').waitFor();
    expect(await own().count()).toBe(2);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Put it back');
    await run(page, '2-2-work');
    await page.getByRole('button', { name: 'Put it back' }).click();
    await own().last().getByText('helper * 100').waitFor();
    expect(await own().count()).toBe(3);
    await saved(page);
    expect(inFile().filter(({ id }) => id.startsWith('own-'))).toHaveLength(3);
    // The sheet's own cells offer no such thing.
    expect(
      await cell(page, '2-1-work')
        .getByRole('button', { name: /^Remove/ })
        .count(),
    ).toBe(0);
  });

  test('run from here runs this cell and those below, and ends at an error', async () => {
    await type(page, '2-3-work', 'missing.name');
    const before = await cell(page, 'given').getAttribute('data-runs');
    const others = await cell(page, '2-2-answer').getAttribute('data-runs');
    await cell(page, '2-2-answer').hover();
    await cell(page, '2-2-answer')
      .getByRole('button', { name: /Run from here/ })
      .click();
    await page.getByText('Stopped at an error in question 2.3.').waitFor();
    expect(await cell(page, 'given').getAttribute('data-runs')).toBe(before);
    expect(Number(await cell(page, '2-2-answer').getAttribute('data-runs'))).toBe(
      Number(others) + 1,
    );
    await cell(page, '2-3-work').locator('.error').waitFor();
    expect(await cell(page, '2-4-work').locator('.error').count()).toBe(0);
    expect(await cell(page, '2-3-answer').getAttribute('data-runs')).toBe('0');
  });

  test('a cell that was added while the desk was gone outlives a reload', async () => {
    await desk.kill();
    await add('A note here', 'Typed in the dark.');
    await page.locator('[data-save="waiting"]').waitFor();
    await page.waitForFunction(() => JSON.stringify(localStorage).includes('Typed in the dark.'));
    await desk.start();
    page.on('dialog', (dialog) => dialog.accept());
    const { page: fresh } = await newPage(page.context());
    await fresh.goto(desk.address);
    await page.reload();
    await own().getByText('Typed in the dark.').waitFor();
    await saved(page);
    expect(inFile().map(sourceOf)).toContain('Typed in the dark.');
  });

  test('a table that is too wide scrolls by itself, and the keyboard reaches it', async () => {
    const row = (what: (n: number) => string) =>
      `|${Array.from({ length: 40 }, (_, n) => what(n)).join('|')}|`;
    const table = [row((n) => `line ${n}`), row(() => '---'), row((n) => `${400 + n} nm`)];
    await add('A note here', table.join('\n'));
    await saved(page);
    await page.reload();
    const shown = own().locator('table');
    await shown.waitFor();
    const edge = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(edge).toBeLessThanOrEqual(0);
    const last = shown.getByText('439 nm');
    const paper = await shown.boundingBox();
    const before = (await last.boundingBox())!.x;
    expect(before).toBeGreaterThan(paper!.x + paper!.width);
    await page.waitForFunction(
      () => document.querySelector<HTMLElement>('[data-cell^="own-"] table')?.tabIndex === 0,
    );
    await shown.focus();
    await page.keyboard.press('ArrowRight');
    await expect.poll(async () => (await last.boundingBox())!.x).toBeLessThan(before);
  });
});
