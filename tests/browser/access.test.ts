import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { findings, sizes } from './find-faults';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, skip } from './stage';

describe.skipIf(skip)('anyone can use the page', () => {
  let page: Page;

  // The page's policy lets no foreign script in, axe included.
  const desk = onStage({ bypassCSP: true }, async (context) => {
    ({ page } = await newPage(context));
  });

  test.each(sizes)('the front page passes axe at %i × %i', async (width, height) => {
    await page.setViewportSize({ width, height });
    await page.goto(desk.address);
    await page.getByRole('button', { name: /One slit/ }).waitFor();
    expect(await findings(page)).toEqual([]);
  });

  test('the sheet, with verdicts, a figure and an error, passes axe at every size and scrolls one way only', async () => {
    await openSheet(page, desk);
    await run(page, '2-1-answer');
    await cell(page, '2-2-work').getByRole('textbox').fill('const x = missing;');
    await run(page, '2-2-work');
    await cell(page, '2-2-work').locator('.error').waitFor();
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      expect([width, await findings(page)]).toEqual([width, []]);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(width);
    }
  });

  test('the choice between two versions passes axe and is made by keyboard', async () => {
    await page.route('**/api/contents/**', (route) =>
      route.request().method() === 'PUT'
        ? route.fulfill({ status: 409, json: { message: 'changed' } })
        : route.continue(),
    );
    await cell(page, '2-2-work').getByRole('textbox').fill('const mine = 1;');
    const dialog = page.getByRole('dialog');
    await dialog.waitFor();
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      expect([width, await findings(page)]).toEqual([width, []]);
    }
    await page.unroute('**/api/contents/**');
    await page.keyboard.press('Escape');
    expect(await dialog.isVisible()).toBe(true);
    await dialog.getByRole('button', { name: 'Take the other version' }).focus();
    await page.keyboard.press('Enter');
    await dialog.waitFor({ state: 'hidden' });
    await page.locator('.notice', { hasText: 'put aside' }).waitFor();
  });

  test('from the front page to a verdict by keyboard alone', async () => {
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.goto(`http://127.0.0.1:${desk.port}/`);
    await page.getByRole('button', { name: /One slit/ }).waitFor();
    await tabTo('button', /One slit/);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'One slit' }).waitFor();
    await cell(page, '2-1-work').locator('.cm-content').waitFor();
    await tabTo('[data-cell="2-1-work"] .cm-content');
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('const firstDarkLine = 1;');
    // Tab leaves the editor: nobody is caught in it.
    await tabTo('[data-cell="2-1-answer"] button', /Check/);
    await page.keyboard.press('Enter');
    await cell(page, '2-1-answer').locator('.verdict').waitFor();
    const kept = await page.evaluate(() => document.activeElement?.getAttribute('aria-label'));
    expect(kept).toBe('Check: Answer, question 2.1');
  });

  /** Press Tab until an element that matches has the focus, seeing each time that it shows. */
  async function tabTo(selector: string, name?: RegExp): Promise<void> {
    for (let i = 0; i < 80; i++) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate((wanted) => {
        const here = document.activeElement as HTMLElement;
        const label = here.getAttribute('aria-label') ?? here.textContent ?? '';
        const { outlineStyle, outlineWidth } = getComputedStyle(here);
        const frame = getComputedStyle(here.closest('.code') ?? here);
        const seen =
          (outlineStyle !== 'none' && outlineWidth !== '0px') || frame.boxShadow !== 'none';
        return { fits: here.matches(wanted), label, seen, html: here.outerHTML.slice(0, 120) };
      }, selector);
      expect([at.html, at.seen]).toEqual([at.html, true]);
      if (at.fits && (!name || name.test(at.label))) return;
    }
    throw new Error(`Tab does not lead to ${selector}`);
  }
});
