import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { findings, sizes } from './find-faults';
import { onStage } from './on-stage';
import { newPage, openSheet, run, saved, skip, type } from './stage';

const right = 'const firstDarkLine = Math.asin(given.wavelength / given.width) / degrees(1);';

describe.skipIf(skip)('the front page and the help', () => {
  let page: Page;
  let faults: string[];

  const desk = onStage(
    { bypassCSP: true, viewport: { width: 1440, height: 900 } },
    async (context) => {
      ({ page, faults } = await newPage(context));
      await page.goto(desk.address);
    },
  );

  const entry = (title: string) =>
    page.locator('.sheets > li').filter({ has: page.getByRole('heading', { name: title }) });
  /** Share of a canvas or picture that is not black. */
  const lit = (title: string) =>
    entry(title)
      .locator('canvas')
      .first()
      .evaluate((canvas: HTMLCanvasElement) => {
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, 1);
        let count = 0;
        for (let i = 0; i < data.length; i += 4)
          if (Math.max(data[i], data[i + 1], data[i + 2]) > 40) count += 1;
        return count / canvas.width;
      });

  test('every sheet shows a film of its own with light and dark on it', async () => {
    await entry('One slit').waitFor();
    const titles = await page.locator('.sheets h2').allTextContents();
    expect(titles).toHaveLength(7);
    for (const title of titles) {
      await entry(title).locator('canvas').first().scrollIntoViewIfNeeded();
      await expect.poll(() => lit(title), { timeout: 10_000 }).toBeGreaterThan(0.02);
      expect(await lit(title)).toBeLessThan(0.98);
    }
  });

  test('a sheet not begun says so; begun, answered wrongly, rightly, it tells its standing in words', async () => {
    const standing = () => entry('One slit').locator('.standing').textContent();
    await expect.poll(standing).toBe('Not begun. 9 questions, 25 marks.');
    await openSheet(page, desk);
    await type(page, '2-1-work', 'const firstDarkLine = 12;');
    await run(page, '2-1-answer');
    await saved(page);
    await page.goto(`http://127.0.0.1:${desk.port}/`);
    await expect.poll(standing).toBe('Of 9 questions: 1 not yet. 0 of 25 marks so far.');
    expect(await entry('One slit').locator('.tally [data-state="not yet"]').count()).toBe(1);
    await openSheet(page, desk);
    await type(page, '2-1-work', right);
    await run(page, '2-1-answer');
    await saved(page);
    await page.goto(`http://127.0.0.1:${desk.port}/`);
    await expect.poll(standing).toBe('Of 9 questions: 1 agrees. 2 of 25 marks so far.');
    await entry('One slit').getByRole('button', { name: 'Go on with One slit' }).waitFor();
    expect(await findings(page)).toEqual([]);
  });

  test('help is one page: a link leads there and back, and it passes axe at every size', async () => {
    await page.getByRole('link', { name: 'Help' }).click();
    await page.getByRole('heading', { level: 1, name: 'Help' }).waitFor();
    expect(await page.title()).toBe('Help · Worksheets');
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      expect([width, await findings(page)]).toEqual([width, []]);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(width);
    }
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.getByRole('link', { name: 'Worksheets' }).click();
    await entry('One slit').waitFor();
  });

  test('help says what the words mean, where the files lie, what to send, and the caution', async () => {
    await page.goto(`http://127.0.0.1:${desk.port}/help`);
    const help = page.getByRole('main');
    await help.getByText(desk.folder).waitFor();
    const text = (await help.textContent()) ?? '';
    for (const word of ['agrees', 'not yet', 'recorded', 'written']) expect(text).toContain(word);
    expect(text).toContain('204117-02-one-slit.ipynb');
    expect(text).toMatch(/Never look along a beam.*responsible safety officer decide/s);
    expect(faults).toEqual([]);
  });
});
