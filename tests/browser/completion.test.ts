import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { cell, DeskProcess, launchBrowser, newPage, openSheet, run, skip, type } from './stage';

describe.skipIf(skip)('completion from the kernel', { timeout: 60_000 }, () => {
  const desk = new DeskProcess();
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    ({ page } = await newPage(
      await browser.newContext({ viewport: { width: 1440, height: 900 } }),
    ));
    await openSheet(page, desk);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await desk.remove();
  });

  const textOf = (id: string) => cell(page, id).locator('.cm-line').allTextContents();

  test('members of a value computed before are offered after the point, and Enter takes the one chosen', async () => {
    await type(page, '2-3-work', 'const bench = { wavelength: 5e-7, focalLength: 0.4 };');
    await run(page, '2-3-work');
    await type(page, '2-1-work', 'const x = bench');
    await page.keyboard.type('.foc');
    const list = page.locator('.cm-tooltip-autocomplete');
    await list.getByText('focalLength', { exact: true }).waitFor();
    // The editor ignores keys for a moment after the list opens, lest one be taken by mistake; a key that
    // comes then may close the list instead, and Ctrl+Space opens it again.
    await expect
      .poll(
        async () => {
          const chosen = list.locator('[aria-selected="true"]');
          if ((await chosen.count()) > 0) {
            if ((await chosen.first().textContent())?.startsWith('focalLength')) return 'chosen';
            await page.keyboard.press('ArrowDown');
          } else await page.keyboard.press('Control+Space');
          return 'not yet';
        },
        { timeout: 20_000, interval: 150 },
      )
      .toBe('chosen');
    await expect
      .poll(async () => {
        await page.keyboard.press('Enter');
        return (await textOf('2-1-work')).join('\n');
      })
      .toBe('const x = bench.focalLength');
  });

  test('characters outside the basic plane before the cursor do not shift the completion', async () => {
    await type(page, '2-2-work', "const flame = '🔥🔥'; Math");
    await page.keyboard.type('.hyp');
    const option = page.locator('.cm-tooltip-autocomplete li', { hasText: 'hypot' });
    await option.first().click();
    expect((await textOf('2-2-work')).join('\n')).toBe("const flame = '🔥🔥'; Math.hypot");
  });
});
