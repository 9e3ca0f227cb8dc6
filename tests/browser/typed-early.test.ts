import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, saved, skip } from './stage';

describe.skipIf(skip)('a cell whose editor has not come yet', () => {
  let page: Page;
  let faults: string[];
  /** Lets the editor come. */
  let letIn = () => {};
  let isHeld = false;

  const desk = onStage({ viewport: { width: 1440, height: 900 } }, async (context) => {
    ({ page, faults } = await newPage(context));
    await page.route(/\/editor-\w+\.js$/, async (route) => {
      if (isHeld)
        await new Promise<void>((done) => {
          letIn = done;
        });
      await route.continue();
    });
    await openSheet(page, desk);
    await saved(page);
  });

  const id = '2-1-work';
  const field = () => cell(page, id).locator('textarea');
  const lines = () => cell(page, id).locator('.cm-line').allTextContents();
  const hold = async () => {
    isHeld = true;
    const asked = page.waitForRequest(/\/editor-\w+\.js$/);
    await page.reload();
    await field().waitFor();
    return asked;
  };

  test('the sheet is read before the editor is asked for', async () => {
    await page.addInitScript(() => {
      new MutationObserver((_, observer) => {
        if (!document.querySelector('#sheet .katex')) return;
        observer.disconnect();
        performance.mark('readable');
      }).observe(document, { childList: true, subtree: true });
    });
    await page.reload();
    await cell(page, id).locator('.cm-content').waitFor();
    const [readable, editor] = await page.evaluate(() => {
      const asked = performance.getEntriesByType('resource');
      return [
        performance.getEntriesByName('readable')[0]?.startTime,
        asked.find(({ name }) => /\/editor-\w+\.js$/.test(name))?.startTime,
      ];
    });
    expect(readable).toBeLessThan(editor as number);
  });

  test('is typed in at once: no key is lost when it comes, and the caret stays', async () => {
    await hold();
    await field().click();
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('const firstDarkLine = 12;');
    await page.keyboard.press('ArrowLeft');
    letIn();
    isHeld = false;
    // One key after the other while the editor comes in the field's place.
    const digits = '0123456789'.repeat(6);
    await page.keyboard.type(digits);
    await cell(page, id).locator('.cm-content').waitFor();
    await page.keyboard.type('7');
    expect(await lines()).toEqual([`const firstDarkLine = 12${digits}7;`]);
    await saved(page);
    // What was typed before is taken back like all else.
    for (let step = 0; step < 80 && (await lines()).join().includes('12'); step++)
      await page.keyboard.press('ControlOrMeta+z');
    expect((await lines()).join('\n')).toContain('= blank;');
    expect(faults).toEqual([]);
  });

  test('takes the caret where the mouse sets it', async () => {
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.insertText('abcdefghij');
    await saved(page);
    await hold();
    await field().scrollIntoViewIfNeeded();
    const box = (await field().boundingBox())!;
    const width = await field().evaluate((area) => {
      const measure = document.createElement('canvas').getContext('2d')!;
      measure.font = getComputedStyle(area).font;
      return measure.measureText('abcd').width;
    });
    const left = await field().evaluate((area) =>
      Number.parseFloat(getComputedStyle(area).paddingLeft),
    );
    letIn();
    isHeld = false;
    await page.mouse.click(box.x + left + width, box.y + 14);
    await cell(page, id).locator('.cm-content').waitFor();
    await page.keyboard.type('|');
    expect(await lines()).toEqual(['abcd|efghij']);
  });

  test('runs with Shift+Enter, and is as high as with its editor', async () => {
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.insertText('// one\n// two\nconst firstDarkLine = 3;');
    await saved(page);
    // Of three lines, and of one.
    const heights = () =>
      Promise.all(
        [id, '2-2-work'].map(
          async (one) => (await cell(page, one).locator('.code').boundingBox())?.height ?? 0,
        ),
      );
    await cell(page, '2-2-work').locator('.cm-content').waitFor();
    const high = await heights();
    await hold();
    const plain = await heights();
    for (const [i, height] of plain.entries()) expect(Math.abs(height - high[i])).toBeLessThan(2);
    const before = await cell(page, id).getAttribute('data-runs');
    await field().press('Shift+Enter');
    await page
      .locator(`[data-cell="${id}"][data-state="still"]:not([data-runs="${before}"])`)
      .waitFor();
    letIn();
    isHeld = false;
  });

  describe('on a phone', () => {
    let phone: Page;
    beforeAll(async () => {
      const context = await page
        .context()
        .browser()!
        .newContext({
          hasTouch: true,
          isMobile: true,
          viewport: { width: 390, height: 844 },
        });
      phone = (await newPage(context)).page;
      await phone.route(/\/editor-\w+\.js$/, async (route) => {
        await new Promise<void>((done) => {
          letIn = done;
        });
        await route.continue();
      });
      await openSheet(phone, desk);
    });
    afterAll(() => phone?.context().close());

    test('the keyboard stays with the field that it was brought up for', async () => {
      const code = cell(phone, '2-2-work');
      await code.locator('textarea').tap();
      await phone.keyboard.type('const x = ');
      await phone.getByRole('toolbar', { name: 'Signs to type' }).waitFor();
      const come = phone.waitForResponse(/\/editor-\w+\.js$/);
      letIn();
      await (await come).finished();
      await cell(phone, '2-1-work').locator('.cm-content').waitFor();
      await phone.keyboard.type('3;');
      expect(await code.locator('textarea').inputValue()).toContain('const x = 3;');
      await code.locator('textarea').blur();
      await code.locator('.cm-content').waitFor();
      expect(await code.locator('.cm-content').textContent()).toContain('const x = 3;');
    });
  });
});
