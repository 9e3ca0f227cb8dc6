import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { studentNumberOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

const right = 'const firstDarkLine = Math.asin(given.wavelength / given.width) / degrees(1);';

describe.skipIf(skip)('a worksheet in the browser', () => {
  let page: Page;
  let faults: string[];

  const desk = onStage({ viewport: { width: 1440, height: 900 } }, async (context) => {
    ({ page, faults } = await newPage(context));
  });

  const notebook = () => readNotebook(readFileSync(join(desk.folder, '02-one-slit.ipynb'), 'utf8'));

  test('the front page asks for the student number once and tells what is wrong with a bad one', async () => {
    await page.goto(desk.address);
    const begin = page.getByRole('button', { name: 'Begin One slit' });
    await begin.waitFor();
    expect(await begin.getAttribute('aria-disabled')).toBe('true');
    await page.locator('.sheets li').first().getByText('after your student number').waitFor();
    // Pressed all the same it leads to what is missing.
    await begin.click({ force: true });
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('student');
    await page.getByLabel('Your student number').fill('12 ab');
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.getByRole('alert').getByText('4 to 10 digits').waitFor();
    await page.getByLabel('Your student number').fill('204 117 ');
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.locator('p.student b', { hasText: '204117' }).waitFor();
    await page.reload();
    await page.locator('p.student b', { hasText: '204117' }).waitFor();
    expect(page.url()).not.toContain('token');
    // The refused number shows in the console as a 400 of the browser's own making.
    expect(faults.splice(0).filter((text) => !text.includes('400'))).toEqual([]);
  });

  test('a sheet is copied to the work folder with the student number in it', async () => {
    await openSheet(page, desk);
    expect(studentNumberOf(notebook())).toBe('204117');
    await cell(page, 'given').getByText('Student 204117').waitFor();
    expect(faults).toEqual([]);
  });

  test('an answer is checked, marks appear in rail and box, and a reload brings all back', async () => {
    const box = page.locator('#q-2\\.1 .mark-box');
    const row = page.locator('.rail li', { hasText: '2.1' });
    await box.getByText('– / 2').waitFor();
    await type(page, '2-1-work', 'const firstDarkLine = 12;');
    await run(page, '2-1-work');
    await run(page, '2-1-answer');
    await cell(page, '2-1-answer').getByText('Not yet.').waitFor();
    expect(await row.textContent()).toContain('not yet');

    // Check runs the working first when it has changed.
    await type(page, '2-1-work', right);
    await run(page, '2-1-answer');
    await cell(page, '2-1-answer').getByText('Agrees.').waitFor();
    expect(await box.textContent()).toContain('2 / 2');
    expect(await row.textContent()).toMatch(/agrees\s*2 \/ 2/);
    expect(await page.locator('.aloud').textContent()).toMatch(/2\.1.*agrees/i);
    await saved(page);

    await page.reload();
    await cell(page, '2-1-answer').getByText('Agrees.').waitFor();
    await box.getByText('2 / 2').waitFor();
    const source = [notebook().cells.find(({ id }) => id === '2-1-work')?.source].flat().join('');
    expect(source).toBe(right);
    expect(faults).toEqual([]);
  });

  test('the whole sheet runs from the top and its film strips are drawn', async () => {
    await page.getByRole('button', { name: 'Run from the top' }).click();
    await page
      .getByRole('button', { name: 'Stop' })
      .and(page.locator('[aria-disabled="false"]'))
      .waitFor();
    await page
      .getByRole('button', { name: 'Stop' })
      .and(page.locator('[aria-disabled="true"]'))
      .waitFor();
    const figure = cell(page, 'given').locator('figure.plot').first();
    await figure.scrollIntoViewIfNeeded();
    await figure.getByRole('img', { name: /film strips/ }).waitFor();
    // Of all its figures none has asked for the plotting code: nobody has asked to move one.
    const plotting = () =>
      page.evaluate(() =>
        performance.getEntriesByType('resource').filter(({ name }) => /plotly/.test(name)),
      );
    for (const one of await page.locator('figure.plot').all()) await one.scrollIntoViewIfNeeded();
    expect(await plotting()).toEqual([]);

    const place = () =>
      figure.evaluate((box) => {
        const shown = box.querySelector('img:not([hidden]), .place')!.getBoundingClientRect();
        const text = box.querySelector('figcaption')!.getBoundingClientRect();
        return [shown.width, shown.height, shown.left, text.top - shown.top].map(Math.round);
      });
    const still = await place();
    await figure.getByRole('button', { name: /^Zoom or read off/ }).click();
    await figure.locator('.main-svg').first().waitFor({ state: 'visible' });
    expect(await plotting()).toHaveLength(1);
    expect(await place()).toEqual(still);
    await figure.getByRole('img', { name: /film strips/ }).waitFor();
    await figure.getByRole('button', { name: /^Put back/ }).click();
    await figure.locator('img').waitFor({ state: 'visible' });
    await figure.locator('img').dblclick();
    await figure.locator('.main-svg').first().waitFor({ state: 'visible' });
    expect(faults).toEqual([]);
  });

  test('what is locked cannot be typed in; what is written is set with its formulas', async () => {
    await cell(page, '2-1-answer').locator('.cm-content').waitFor();
    expect(
      await cell(page, '2-1-answer').locator('.cm-content').getAttribute('contenteditable'),
    ).toBe('false');
    const area = page.getByLabel('Your answer to question 2.9');
    await area.fill('The narrower slit: $\\lambda/a$ grows.');
    await page.locator('#q-2\\.9 .mark-box', { hasText: 'written' }).waitFor();
    await area.blur();
    await page.locator('.written.done .katex').waitFor();
    await saved(page);
    const text = [notebook().cells.find(({ id }) => id === '2-9-written')?.source].flat().join('');
    expect(text).toBe('The narrower slit: $\\lambda/a$ grows.');
  });

  test('what was typed is taken back by keyboard, brought again, and saved as it stands', async () => {
    const editor = cell(page, '2-4-work').getByRole('textbox');
    const before = await editor.textContent();
    await type(page, '2-4-work', 'const sideMaxima = [1, 2];');
    await editor.press('ControlOrMeta+z');
    await expect.poll(() => editor.textContent()).toBe(before);
    await editor.press('ControlOrMeta+y');
    await expect.poll(() => editor.textContent()).toBe('const sideMaxima = [1, 2];');
    await page.keyboard.press('ControlOrMeta+s');
    await saved(page);
    const kept = notebook().cells.find(({ id }) => id === '2-4-work')?.source;
    expect([kept].flat().join('')).toBe('const sideMaxima = [1, 2];');
  });

  test('Shift+Enter runs a cell and moves on to the next one', async () => {
    await type(page, '2-2-work', 'const bandWidth = 1 + 2; bandWidth');
    await page.keyboard.press('Shift+Enter');
    await cell(page, '2-2-work').locator('.printed', { hasText: '3' }).waitFor();
    const focused = await page.evaluate(() =>
      document.activeElement?.closest('[data-cell]')?.getAttribute('data-cell'),
    );
    expect(focused).toBe('2-2-answer');
  });
});
