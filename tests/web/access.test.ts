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

  test('a keyboard is enough, from the number to the file that is handed in', async () => {
    const { page } = await newPage(await browser.newContext({ acceptDownloads: true }));
    /** Where the focus is: what it is called, and what is wrong with it. */
    const focus = () =>
      page.evaluate(() => {
        const at = document.activeElement;
        if (!at || at === document.body) return { name: '', wrong: 'lost' };
        const box = at.getBoundingClientRect();
        const isSeen = box.width > 0 && box.height > 0 && box.bottom > 0 && box.top < innerHeight;
        const ringed = [at, at.closest('.code'), at.closest('label')].some((one) => {
          const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(one ?? at);
          return (outlineStyle !== 'none' && outlineWidth !== '0px') || boxShadow !== 'none';
        });
        const { id, textContent } = at;
        const field = (at as HTMLInputElement).labels?.[0]?.textContent;
        const name = at.getAttribute('aria-label') ?? field ?? textContent ?? id;
        return { name, wrong: isSeen ? (ringed ? '' : 'not shown') : 'out of sight' };
      });
    /** Press a key until the focus is on what is called so; on its way it is never lost, and never goes round for ever. */
    const go = async (name: RegExp, key = 'Tab') => {
      const way: string[] = [];
      for (;;) {
        await page.keyboard.press(key);
        const at = await focus();
        expect([at, way]).toEqual([{ ...at, wrong: '' }, way]);
        if (name.test(at.name)) return;
        way.push(at.name);
        expect(way.length, way.join('\n')).toBeLessThan(120);
      }
    };
    const here = async (name: RegExp) => {
      await expect.poll(async () => (await focus()).name).toMatch(name);
      expect((await focus()).wrong).toBe('');
    };

    await page.goto(site.address);
    await page.getByLabel('Your student number').waitFor();
    await go(/student number/);
    await page.keyboard.type('204117');
    await page.keyboard.press('Enter');
    // In the place of what is gone.
    await here(/^Change$/);
    await go(/^Download all|^Bring files/);
    await go(/^Begin One slit/, 'Shift+Tab');
    await page.keyboard.press('Enter');
    await cell(page, 'given').locator('figure.plot').first().waitFor();
    await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe('sheet');
    await go(/^Zoom or read off/);
    await page.keyboard.press('Enter');
    await page.locator('figure.plot .main-svg').first().waitFor({ state: 'visible' });
    await here(/^Put back as it was/);
    await page.keyboard.press('Enter');
    await here(/^Zoom or read off/);
    await go(/^Your working, question 2.1$/);
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('const firstDarkLine = 1;');
    await go(/^Run: Your working, question 2.1$/);
    await page.keyboard.press('Enter');
    await page.locator('[data-cell="2-1-work"]:not([data-runs="0"])').waitFor();
    await here(/^Run: Your working, question 2.1$/);
    await go(/^Check: Answer, question 2.1$/);
    await page.keyboard.press('Enter');
    await cell(page, '2-1-answer').locator('.verdict').waitFor();
    await here(/^Check: Answer, question 2.1$/);
    await go(/^Add working or a note, question 2.1$/);
    await page.keyboard.press('Enter');
    await go(/^A photograph here$/);
    await page.keyboard.press('Enter');
    await page.locator('.photograph').getByRole('button', { name: 'Close' }).waitFor();
    await here(/^Your own working, question 2.1$/);
    await go(/^Close$/);
    await page.keyboard.press('Enter');
    await here(/: Photograph$/);
    await go(/^Hand in …$/, 'Shift+Tab');
    await page.keyboard.press('Enter');
    const make = page.getByRole('button', { name: /^Make the file as it is|^Make the file/ });
    await make.first().waitFor();
    await go(/^Make the file/);
    const made = page.waitForEvent('download');
    await page.keyboard.press('Enter');
    expect((await made).suggestedFilename()).toBe('204117-02-one-slit.ipynb');
    await page.keyboard.press('Escape');
    await here(/^Hand in …$/);
    await go(/^Worksheets$/, 'Shift+Tab');
    await page.close();
  });

  test('so does the help', async () => {
    await page.goto(`${site.address}?/help`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    await passes();
  });
});
