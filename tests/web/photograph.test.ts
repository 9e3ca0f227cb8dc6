import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  choosePhotograph,
  markBright,
  setScale,
  shownLength,
  truthOf,
} from '../browser/photograph-stage';
import { launchBrowser, newPage, openSheet, saved, skip } from '../browser/stage';
import { handIn, oneSlit } from '../cli/class-for-test';
import { markingStage } from '../cli/marking-stage';
import { needs } from '../needs';
import { type SiteForTest, siteForTest } from './site-for-test';

const marking = needs('bwrap');
const { at, mark, record } = markingStage('photograph-', '--sheet', oneSlit);

describe.skipIf(skip)('a photograph, in nothing but a browser', () => {
  const truth = truthOf('009-careful.jpg');
  let site: SiteForTest;
  let browser: Browser;
  let page: Page;
  let shown = '';
  let handed: Uint8Array | undefined;

  beforeAll(async () => {
    [site, browser] = await Promise.all([siteForTest([oneSlit]), launchBrowser()]);
    ({ page } = await newPage(await browser.newContext()));
    await openSheet(page, site);
  });
  afterAll(async () => {
    await browser.close();
    await site.remove();
  });

  test('is read as on a desk: the cell prints the number that the page shows', async () => {
    const own = await choosePhotograph(page, '2.1', truth.file);
    await setScale(page, truth);
    await markBright(page, truth, [-2, -1, 0, 1, 2]);
    shown = await shownLength(page);
    expect(Math.abs(Number.parseFloat(shown) / (truth.spacing * 1e6) - 1)).toBeLessThan(0.03);
    await page.getByRole('button', { name: 'Write into the cell and run' }).click();
    await own.locator('.outputs').getByText(`spacing by hand: ${shown}`).waitFor();
    await own
      .locator('figcaption', { hasText: 'Trust it: the points follow the pattern of 2 slits' })
      .waitFor();
    await saved(page);
  });

  test('goes along when the sheet is handed in', async () => {
    await page.getByRole('button', { name: 'Hand in …' }).click();
    await page.getByRole('dialog').getByText('photograph-1.png').waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: /^Make the file/ }).click(),
    ]);
    expect(download.suggestedFilename()).toBe(`204117-${oneSlit}.zip`);
    handed = new Uint8Array(readFileSync(await download.path()));
  });

  test.skipIf(marking.skip)('and says the same number when it is marked', async () => {
    handIn(at('returns'), `204117-${oneSlit}.zip`, handed!);
    expect((await mark()).code).toBe(0);
    expect(JSON.stringify(record('204117').cells)).toContain(`spacing by hand: ${shown}`);
  });
});
