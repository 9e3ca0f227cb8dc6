import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

describe.skipIf(skip)('what a sheet says of itself is true', () => {
  let page: Page;
  const desk = onStage({ viewport: { width: 1280, height: 900 } }, async (made: BrowserContext) => {
    ({ page } = await newPage(made));
    await openSheet(page, desk, 'Two slits');
  });
  const verdict = (id: string) => cell(page, id).locator('.verdict');
  const inRail = (id: string) => page.locator('.rail li', { hasText: id });

  test('what has no answer stays open after a run from the top', async () => {
    await page.getByRole('button', { name: 'Run from the top' }).click();
    await cell(page, '3-7-answer').locator('.verdict[data-state="open"]').waitFor();
    expect(await verdict('3-3-answer').textContent()).toMatch(
      /^Still open\. There is no answer yet/,
    );
    expect(await page.locator('.rail li[data-state="open"]').count()).toBe(7);
    await page.locator('[data-cell="3-7-answer"][data-state="still"]').waitFor();
  });

  test('a verdict given just before a reload is there after it, over one that was saved', async () => {
    await saved(page);
    await type(page, '3-4-work', 'const darkBar = ((given.missing - 1) * given.width) / um(1);');
    await run(page, '3-4-answer');
    await page.reload();
    await verdict('3-4-answer').waitFor();
    expect(await verdict('3-4-answer').textContent()).toMatch(/^Agrees\./);
    expect(await inRail('3.4').textContent()).toMatch(/agrees\s*2 \/ 2/);
  });

  test('a verdict and a mark whose working was changed say so, until it is as it was', async () => {
    expect(await page.getByText('Your working was changed since').count()).toBe(0);
    await type(page, '3-4-work', 'const darkBar = 5;');
    await verdict('3-4-answer').getByText('Your working was changed since').waitFor();
    expect(await verdict('3-4-answer').getAttribute('data-older')).toBe('true');
    expect(await inRail('3.4').textContent()).toContain('working changed since');
    await type(page, '3-4-work', 'const darkBar = ((given.missing - 1) * given.width) / um(1);');
    await page.locator('.verdict[data-older="true"]').waitFor({ state: 'detached' });
    expect(await inRail('3.4').textContent()).not.toContain('changed');
  });

  test('another student number is taken in before a check, which then asks for a run from the top', async () => {
    await run(page, '3-4-answer');
    await type(page, 'student-number', "const studentNumber = '300300';");
    await run(page, '3-4-answer');
    expect(await cell(page, '3-4-answer').locator('.outputs').textContent()).toMatch(
      /^Not checked: darkBar was computed before the student number was changed.*from the top/,
    );
  });

  test('a sheet that was handed in says so beside the questions and on the front page', async () => {
    await saved(page);
    await page.getByRole('button', { name: 'Hand in …' }).click();
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Make the file as it is' }).click();
    expect((await coming).suggestedFilename()).toBe('300300-03-two-slits.ipynb');
    await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
    const said = page.locator('.rail .handed-in');
    expect(await said.textContent()).toMatch(/^Handed in: file made /);
    await type(page, '3-2-work', 'const fringeCount = 5;');
    await said.getByText('Changed since').waitFor();
    await saved(page);
    await page.getByRole('link', { name: 'Worksheets' }).click();
    expect(await page.locator('.sheets .handed-in').textContent()).toMatch(
      /^Handed in: file made .* Changed since/,
    );
  });

  test('after a reload while a cell runs the page says that it still computes, and stops it', async () => {
    await page.getByRole('button', { name: 'Go on with Two slits' }).click();
    await type(page, '3-2-work', "console.log('begun');\nfor (;;);");
    await cell(page, '3-2-work').getByRole('button', { name: /^Run:/ }).click();
    await cell(page, '3-2-work').locator('.printed', { hasText: 'begun' }).waitFor();
    await page.reload();
    const told = page.getByText('Still computing');
    await told.waitFor();
    await page.getByRole('button', { name: 'Stop it' }).click();
    await told.waitFor({ state: 'detached' });
    await page.locator('[data-kernel="ready"]').waitFor();
  });

  test('a run from the top that is asked for while the givens still come out by themselves is done', async () => {
    await page.getByRole('link', { name: 'Worksheets' }).click();
    await page.getByRole('button', { name: 'Begin One slit' }).click();
    await page.locator('[data-cell="given"]:not([data-state="still"])').waitFor();
    await page.getByRole('button', { name: 'Run from the top' }).click();
    await cell(page, '2-8-answer').locator('.verdict[data-state="open"]').waitFor();
  });
});
