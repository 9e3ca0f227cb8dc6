import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { writeAddress } from '../../kernel-lib/figures/bench/address';
import { changed } from '../../kernel-lib/figures/bench/change';
import { startSetting } from '../../kernel-lib/figures/bench/setting';
import { addressOf, openBench, painted, settingInAddress } from './bench-stage';
import { onStage } from './on-stage';
import { newPage, skip } from './stage';

describe.skipIf(skip)('strips to compare and links of the bench', { timeout: 90_000 }, () => {
  let page: Page;
  let faults: string[];

  const open = (setting?: string) => openBench(page, desk, setting);
  const setting = () => settingInAddress(page);

  // The page's policy lets no foreign script in, axe included.
  const desk = onStage({ bypassCSP: true }, async (context) => {
    ({ page, faults } = await newPage(context));
    await page.goto(desk.address);
  });

  test('a pinned strip stays as it was, and sets the bench back', async () => {
    await open('slits=2');
    await page.getByRole('button', { name: 'Pin this strip' }).click();
    const kept = await painted(page);
    await page.getByLabel('Number of slits: more').click();
    await expect.poll(() => painted(page)).not.toEqual(kept);
    await page.getByRole('button', { name: /^Use this setting: 2 slits/ }).click();
    await expect.poll(() => painted(page)).toEqual(kept);
    expect((await setting()).slits).toBe(2);
  });

  test('a link that is pasted into the address is taken; what is wrong in it is told', async () => {
    await open('slits=7&width=far');
    expect(await page.getByRole('alert').first().textContent()).toContain(
      'Slit width: "far" is not a number',
    );
    await page.evaluate(() => {
      location.hash = 'slits=9&light=sodium';
    });
    await expect
      .poll(() => page.getByLabel('Number of slits', { exact: true }).inputValue())
      .toBe('9');
  });

  const labels = async () =>
    (await page.locator('.pins li .label b').allTextContents()).map((text) => text.trim());

  test('a link carries the strips to compare, a reload too; taken down they are gone from it', async () => {
    await open('slits=3');
    await page.getByRole('button', { name: 'Pin 1, 2, 3, 5, 8, 16 slits' }).click();
    const before = await labels();
    expect(before).toHaveLength(6);
    await page.getByRole('button', { name: 'Link', exact: true }).click();
    const link = page.locator('.share pre');
    await expect
      .poll(() => link.textContent())
      .toMatch(/&pin=slits:1&pin=slits:2&pin=&pin=slits:5/);
    const text = (await link.textContent())!;
    await page.goto('about:blank');
    await page.goto(text);
    await expect.poll(labels).toEqual(before);
    expect((await addressOf(page)).pins.map(({ slits }) => slits)).toEqual([1, 2, 3, 5, 8, 16]);
    await page.reload();
    await expect.poll(labels).toEqual(before);
    await page.getByRole('button', { name: 'Take down: 16 slits', exact: false }).click();
    expect((await addressOf(page)).pins.map(({ slits }) => slits)).toEqual([1, 2, 3, 5, 8]);
    await page.getByRole('button', { name: 'Take all down' }).click();
    expect((await addressOf(page)).pins).toEqual([]);
  });

  test('a strip to compare that is damaged is told of; the others hang', async () => {
    await open(
      `${writeAddress(startSetting, [changed(startSetting, { slits: 2 })])}&pin=width:900um`,
    );
    expect(await page.getByRole('alert').first().textContent()).toContain(
      'Strip 2 to compare is left out. Slit width goes from 1 µm to 200 µm',
    );
    expect(await labels()).toEqual(['2 slits']);
  });

  test('a strip that cannot be pinned, or was taken down, is told of among the strips', async () => {
    await open('slits=1&width=150um');
    const series = page.getByRole('button', { name: 'Pin 1, 2, 3, 5, 8, 16 slits' });
    await series.click();
    const why = page.locator('.pins').getByRole('alert');
    expect(await why.textContent()).toMatch(/^2 slits: not pinned\. The slits would overlap/);
    expect(await labels()).toEqual(['1 slit']);
    await open('slits=2');
    await series.click();
    expect(await why.count()).toBe(0);
    await series.click();
    await page.getByRole('button', { name: 'Pin this strip' }).click();
    expect(await why.textContent()).toBe('The oldest strip was taken down: there is room for 12.');
    expect(await labels()).toHaveLength(12);
  });

  test('nothing was complained of in the console', () => {
    expect(faults).toEqual([]);
  });
});
