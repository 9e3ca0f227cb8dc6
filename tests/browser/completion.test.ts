import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, skip, type } from './stage';

describe.skipIf(skip)('completion from the kernel', () => {
  let page: Page;

  const desk = onStage({ viewport: { width: 1440, height: 900 } }, async (context) => {
    ({ page } = await newPage(context));
    await openSheet(page, desk);
  });

  const textOf = (id: string) => cell(page, id).locator('.cm-line').allTextContents();

  test('members of a value computed before are offered after the point, and Enter takes the one chosen', async () => {
    await type(page, '2-3-work', 'const bench = { wavelength: 5e-7, focalLength: 0.4 };');
    await run(page, '2-3-work');
    const list = page.locator('.cm-tooltip-autocomplete');
    const chosen = list.locator('[aria-selected="true"]', { hasText: 'focalLength' });
    // The editor ignores keys for a moment after the list opens, lest one be taken by mistake; a key that comes
    // then may close the list instead, and the point is typed anew.
    await expect
      .poll(
        async () => {
          await type(page, '2-1-work', 'const x = bench');
          await page.keyboard.type('.foc');
          await chosen.waitFor({ timeout: 10_000 });
          await page.waitForTimeout(200);
          await page.keyboard.press('Enter');
          return (await textOf('2-1-work')).join('\n');
        },
        { timeout: 30_000 },
      )
      .toBe('const x = bench.focalLength');
  });

  test('characters outside the basic plane before the cursor do not shift the completion', async () => {
    await type(page, '2-2-work', "const flame = '🔥🔥'; Math");
    await page.keyboard.type('.hyp');
    const option = page.locator('.cm-tooltip-autocomplete li', { hasText: 'hypot' });
    await option.first().click();
    expect((await textOf('2-2-work')).join('\n')).toBe("const flame = '🔥🔥'; Math.hypot");
  });

  test('after the point the givens of the sheet are offered, and the one looked at says what it is', async () => {
    await type(page, '2-1-work', 'const x = given');
    await page.keyboard.type('.focalLengthU');
    const list = page.locator('.cm-tooltip-autocomplete');
    await expect
      .poll(() => list.locator('li').allTextContents(), { timeout: 20_000 })
      .toEqual([expect.stringContaining('focalLengthUncertainty')]);
    await page
      .getByText('Standard uncertainty of the focal length, m.', { exact: false })
      .waitFor();
  });

  test('a given that is misspelt is told at its line', async () => {
    await type(page, '2-1-work', 'const x = 1;\nconst y = given.widht;');
    await run(page, '2-1-work');
    const outputs = cell(page, '2-1-work').locator('.outputs');
    await expect.poll(() => outputs.textContent()).toMatch(/widht.*line 2|line 2.*widht/is);
  });
});
