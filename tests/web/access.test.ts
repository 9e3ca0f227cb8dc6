import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { findings, sizes } from '../browser/find-faults';
import { cell, launchBrowser, newPage, openSheet, run, skip } from '../browser/stage';
import { type SiteForTest, siteForTest } from './site-for-test';

describe.skipIf(skip)('anyone can use the site', () => {
  let site: SiteForTest;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    [site, browser] = await Promise.all([siteForTest(['02-one-slit']), launchBrowser()]);
    // The page's policy lets no foreign script in, axe included.
    ({ page } = await newPage(await browser.newContext({ bypassCSP: true, hasTouch: true })));
  });
  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });

  async function passes(): Promise<void> {
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      expect([width, await findings(page)]).toEqual([width, []]);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(width);
    }
  }

  test('the front page passes axe at every size and scrolls one way only', async () => {
    await page.goto(site.address);
    await page.getByLabel('Your student number').waitFor();
    await passes();
  });

  test('so does a sheet with a verdict and an error, run by a finger', async () => {
    await openSheet(page, site);
    await page.setViewportSize({ width: 390, height: 844 });
    const check = cell(page, '2-1-answer').getByRole('button', { name: /^Check/ });
    await check.tap();
    await cell(page, '2-1-answer').locator('.verdict').waitFor();
    await cell(page, '2-2-work').getByRole('textbox').fill('const x = missing;');
    await run(page, '2-2-work');
    await cell(page, '2-2-work').locator('.error').waitFor();
    await passes();
  });

  test('so does handing in', async () => {
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.getByRole('button', { name: 'Hand in …', exact: true }).click();
    await page.getByRole('button', { name: /^Make the file/ }).waitFor();
    await passes();
    await page.keyboard.press('Escape');
  });

  test('so does the help', async () => {
    await page.goto(`${site.address}?/help`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    await passes();
  });
});
