import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { cell, launchBrowser, newPage, openSheet, run, skip, type } from '../browser/stage';
import { type SiteForTest, siteForTest } from './site-for-test';

// What depends on what, where cells run in nothing but a browser: the same page, another kernel. What must be seen
// follows from the cells' own arithmetic.

describe.skipIf(skip)('what depends on a cell, without a desk', () => {
  let site: SiteForTest;
  let browser: Browser;
  let page: Page;
  const shows = (id: string, text: string) =>
    cell(page, id).locator('.outputs').getByText(text, { exact: true }).waitFor();

  beforeAll(async () => {
    [site, browser] = await Promise.all([siteForTest(['02-one-slit']), launchBrowser()]);
    ({ page } = await newPage(await browser.newContext()));
    await openSheet(page, site);
  }, 90_000);
  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });

  test('is marked as older, and brought along where that is wanted', async () => {
    await type(page, '2-1-work', 'const firstDarkLine = 4;');
    await type(page, '2-2-work', 'const bandWidth = firstDarkLine * firstDarkLine;\nbandWidth');
    await type(page, '2-4-work', 'bandWidth + 1');
    for (const id of ['2-1-work', '2-2-work', '2-4-work']) await run(page, id);
    await shows('2-4-work', '17');
    await type(page, '2-1-work', 'const firstDarkLine = 5;');
    await run(page, '2-1-work');
    await cell(page, '2-4-work').getByText('computed from older values of bandWidth').waitFor();
    await page.getByRole('checkbox', { name: 'Bring along what depends on it' }).check();
    await type(page, '2-1-work', 'const firstDarkLine = 6;');
    await run(page, '2-1-work');
    await shows('2-4-work', '37');
  });

  test('follows a slider', async () => {
    await type(
      page,
      '2-1-work',
      "import { movable } from 'multislit';\nconst firstDarkLine = movable('order', 3, { from: 1, to: 16 });",
    );
    await run(page, '2-1-work');
    await shows('2-4-work', '10');
    const slider = cell(page, '2-1-work').getByRole('slider', { name: 'order' });
    await slider.focus();
    await page.keyboard.press('ArrowRight');
    await shows('2-4-work', '17');
    await page.keyboard.press('End');
    await shows('2-4-work', '257');
    expect(await slider.inputValue()).toBe('16');
  });

  test('a check is of what stands there: a renamed and an emptied cell are told', async () => {
    const answer = () => cell(page, '2-1-answer').locator('.outputs').textContent();
    const right = (name: string) =>
      `const ${name} = Math.asin(given.wavelength / given.width) / degrees(1);`;
    await type(page, '2-1-work', right('firstDarkLine'));
    await run(page, '2-1-answer');
    expect(await answer()).toMatch(/^Agrees\./);
    await type(page, '2-1-work', right('darkLine'));
    await run(page, '2-1-answer');
    expect(await answer()).toMatch(/^Not checked: firstDarkLine .*“const darkLine = /);
    await type(page, '2-1-work', ' ');
    await page.keyboard.press('Backspace');
    await run(page, '2-1-answer');
    expect(await answer()).toMatch(/^Not checked: firstDarkLine .*is empty now/);
    await type(page, '2-1-work', right('firstDarkLine'));
    await run(page, '2-1-answer');
    expect(await answer()).toMatch(/^Agrees\./);
  });
});
