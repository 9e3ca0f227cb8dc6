import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { cell, launchBrowser, newPage, openSheet, run, skip, type } from './stage';

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
      .poll(async () => {
        await type(page, '2-1-work', 'const x = bench');
        await page.keyboard.type('.foc');
        await chosen.waitFor({ timeout: 10_000 });
        await page.waitForTimeout(200);
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

  const typed = [
    ...['f(x)', '[1, 2]', '"a"', '(a + b) * c', 'Math.sin(Math.cos(x))', 'x[0](1)'],
    ...["check('3.1', [1, 2])", '`abc`', '{ a: [1] }', "'don\\'t'"],
  ];
  test('what is typed key by key is what stands there, brackets and quotes as well', async () => {
    const id = '2-2-work';
    for (const text of typed)
      for (const delay of [0, 20]) {
        await type(page, id, ' ');
        await page.keyboard.press('Backspace');
        await page.keyboard.type(text, { delay });
        expect((await textOf(id)).join('\n')).toBe(text);
      }
    // Left in the middle, and gone on with.
    await type(page, id, 'a;\n');
    await page.keyboard.type('Math.sin(');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Home');
    for (let n = 0; n < 9; n += 1) await page.keyboard.press('ArrowRight');
    await page.keyboard.type('0.5)');
    expect((await textOf(id)).join('\n')).toBe('a;\nMath.sin(0.5)');
  });

  test('so is what comes from a phone’s keyboard, which composes words before it gives them', async () => {
    const userAgent =
      'Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/120.0.0.0 Mobile Safari/537.36';
    const browser = await launchBrowser();
    const context = await browser.newContext({ userAgent, hasTouch: true, isMobile: true });
    const { page: phone } = await newPage(context);
    // Another sheet: the same in two places asks which of the two is to stay.
    await openSheet(phone, desk, 'Two slits');
    const work = cell(phone, '3-2-work');
    await work.locator('.cm-content').waitFor();
    const keyboard = await context.newCDPSession(phone);
    const compose = (text: string) =>
      keyboard.send('Input.imeSetComposition', {
        text,
        selectionStart: text.length,
        selectionEnd: text.length,
      });
    const give = (text: string) => keyboard.send('Input.insertText', { text });
    for (const pieces of [
      ['f', '(', '~x', '~x)', 'x)'],
      ['~sin', 'sin', '(', '~x', 'x', ')'],
      ['[', '~1', '1', ', ', '~2]', '2]'],
      ['"', '~a', 'a"'],
    ]) {
      await type(phone, '3-2-work', ' ');
      await phone.keyboard.press('Backspace');
      for (const piece of pieces)
        await (piece.startsWith('~') ? compose(piece.slice(1)) : give(piece));
      const wanted = pieces.filter((piece) => !piece.startsWith('~')).join('');
      const lines = work.locator('.cm-line');
      expect((await lines.allTextContents()).join('\n')).toBe(wanted);
    }
    await browser.close();
  });

  test('the same name is told once: by F1 where the mouse rests on it', async () => {
    await type(page, '2-2-work', 'const x = Math.asin(0.5);');
    const name = cell(page, '2-2-work').locator('.cm-line span', { hasText: /^asin$/ });
    await name.click();
    await page.locator('.cm-tooltip-hover').waitFor();
    await page.keyboard.press('F1');
    await page.locator('.cm-tooltip:not(.cm-tooltip-hover)').waitFor();
    expect(await page.locator('.cm-tooltip').count()).toBe(1);
  });

  test('a given that is misspelt is told at its line', async () => {
    await type(page, '2-1-work', 'const x = 1;\nconst y = given.widht;');
    await run(page, '2-1-work');
    const outputs = cell(page, '2-1-work').locator('.outputs');
    await expect.poll(() => outputs.textContent()).toMatch(/widht.*line 2|line 2.*widht/is);
  });
});
