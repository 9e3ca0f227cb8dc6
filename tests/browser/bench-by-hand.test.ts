import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { openBench, settingInAddress } from './bench-stage';
import { onStage } from './on-stage';
import { newPage, skip } from './stage';

describe.skipIf(skip)('the bench in a tutor’s hands', { timeout: 60_000 }, () => {
  let page: Page;
  let faults: string[];

  const desk = onStage({}, async (context) => {
    ({ page, faults } = await newPage(context));
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.goto(desk.address);
  });

  const value = (name: string) => page.getByLabel(name, { exact: true }).inputValue();

  test('the steps lead from a pair of slits to slits out of place and back', async () => {
    await openBench(page, desk);
    const words = page.locator('.steps p');
    const back = page.getByRole('button', { name: 'Step back' });
    const next = page.getByRole('button', { name: 'Next step' });
    expect(await back.isDisabled()).toBe(true);
    await page.getByRole('button', { name: 'Begin the steps' }).click();
    const titles = [await words.locator('b').textContent()];
    expect(await value('Number of slits')).toBe('2');
    while (await next.isEnabled()) {
      await next.click();
      titles.push(await words.locator('b').textContent());
    }
    expect(titles).toHaveLength(12);
    expect(titles.every((title, i) => title?.startsWith(`${i + 1} of 12: `))).toBe(true);
    expect(await value('Ruling error')).toBe('6 µm');
    await back.click();
    expect(await words.textContent()).toContain('11 of 12');
    expect(await value('Ruling error')).toBe('0 µm');
    expect(await page.getByLabel('Blocked slit').inputValue()).toBe('6');
  });

  test('typed values may have any unit of their kind', async () => {
    await openBench(page, desk);
    for (const [name, typed, shown] of [
      ['Spacing', '0.25 mm', '250 µm'],
      ['Slit width', '5e-5 m', '50 µm'],
      ['Incidence', '0.5 deg', '0.5°'],
      ['Camera, focal length', '0.4 m', '400 mm'],
    ]) {
      const field = page.getByLabel(name, { exact: true });
      await field.fill(typed);
      await field.press('Enter');
      expect.soft([name, await field.inputValue()]).toEqual([name, shown]);
    }
    const { spacing, width } = await settingInAddress(page);
    expect([spacing, width]).toEqual([250e-6, 50e-6]);
  });

  test('a parameter that moves leaves the pattern before it as a ghost, named in the legend', async () => {
    await openBench(page, desk, 'slits=4');
    const ghost = page.locator('.legend [data-line="ghost"]');
    expect(await ghost.count()).toBe(0);
    await page.getByLabel('Spacing: more').click();
    expect(await ghost.textContent()).toBe('before the last change');
  });

  test('a light that the bench does not have is answered with all that it has', async () => {
    await openBench(page, desk, 'light=candle');
    const said = await page.getByRole('alert').first().textContent();
    expect(said).toMatch(/no light "candle".*'filament'.*'laser'/);
  });

  test('by keyboard everything is reached in turn, and what has the focus can be seen', async () => {
    await openBench(page, desk);
    const all = await page
      .locator('a[href], button:enabled, input, select, [tabindex="0"]')
      .count();
    let reached = 0;
    for (;;) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate(() => {
        const here = document.activeElement as HTMLElement;
        if (here === document.body) return undefined;
        const { outlineStyle } = getComputedStyle(here);
        const { left, right, top, bottom } = here.getBoundingClientRect();
        const within = left >= 0 && right <= innerWidth && top >= 0 && bottom <= innerHeight;
        return { html: here.outerHTML.slice(0, 90), seen: outlineStyle !== 'none' && within };
      });
      if (!at) break;
      expect.soft([at.html, at.seen]).toEqual([at.html, true]);
      reached += 1;
      expect(reached).toBeLessThanOrEqual(all);
    }
    expect(reached).toBe(all);
  });

  test('full screen and back by the same button', async () => {
    await openBench(page, desk);
    const button = page.getByRole('button', { name: 'Full screen' });
    await button.press('Enter');
    await expect.poll(() => button.getAttribute('aria-pressed')).toBe('true');
    await button.press('Enter');
    await expect.poll(() => button.getAttribute('aria-pressed')).toBe('false');
  });

  test('nothing was complained of in the console', () => {
    expect(faults).toEqual([]);
  });
});
