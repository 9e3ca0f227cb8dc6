import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, skip } from './stage';

// A first-year student types into a sheet, key by key, with the mistakes that students make.

describe.skipIf(skip)('a beginner at the keyboard', () => {
  let page: Page;

  const desk = onStage({ viewport: { width: 1440, height: 900 } }, async (context) => {
    ({ page } = await newPage(context));
    await openSheet(page, desk, 'Two slits');
  });

  const work = '3-1-work';
  const textOf = async (id: string) =>
    (await cell(page, id).locator('.cm-line').allTextContents()).join('\n');

  /** Empty the cell and type into it as a person does. */
  async function typeKeys(text: string, delay = 20): Promise<void> {
    const editor = cell(page, work).getByRole('textbox');
    await editor.click();
    await editor.press('ControlOrMeta+a');
    await editor.press('Delete');
    await page.keyboard.type(text, { delay });
  }

  const list = () => page.locator('.cm-tooltip-autocomplete');
  const outputs = () => cell(page, work).locator('.outputs');

  /** The list had its chance: the kernel has answered what was asked of it later. */
  async function settled(): Promise<void> {
    await page.keyboard.press('F1');
    await page.locator('.cm-tooltip.about, .cm-tooltip .about').waitFor();
    await page.keyboard.press('Escape');
  }

  test('the text that ran last comes back by its button and by F2, also after a reload', async () => {
    const fine = 'const whole = 3;';
    await typeKeys(fine);
    await run(page, work);
    const back = cell(page, work).getByRole('button', { name: /Back to what ran/ });
    expect(await back.count()).toBe(0);
    await typeKeys('const half = (');
    await run(page, work);
    await back.click();
    await expect.poll(() => textOf(work)).toBe(fine);
    await page.keyboard.press('ControlOrMeta+z');
    await expect.poll(() => textOf(work)).toContain('half');
    await page.keyboard.press('F2');
    await expect.poll(() => textOf(work)).toBe(fine);
    await typeKeys('const another = (');
    // What is not saved yet asks whether to stay; the draft comes back in any case.
    page.once('dialog', (dialog) => dialog.accept());
    await page.reload();
    await cell(page, work).getByRole('textbox').click();
    await page.keyboard.press('F2');
    await expect.poll(() => textOf(work)).toBe(fine);
  });

  test.each([
    ['0.594', 0],
    ['0.594', 60],
    ['0.594', 150],
    ['5e-7', 40],
    ['3.', 150],
    ['um(94)', 40],
    ['2 * 10', 90],
    ['s', 90],
    ['', 0],
  ])('%j and Enter is a new line and nothing else, at %i ms a key', async (typed, delay) => {
    for (let tries = 0; tries < 3; tries += 1) {
      await typeKeys(`const x = ${typed}`, delay);
      if (tries > 0) await settled();
      expect(await list().count()).toBe(0);
      await page.keyboard.press('Enter');
      // The editor may indent what goes on.
      expect((await textOf(work)).trimEnd()).toBe(`const x = ${typed}`.trimEnd());
      expect((await textOf(work)).split('\n')).toHaveLength(2);
    }
  });

  test('a name that is whole and Enter is a new line; a list that is open closes when the cell runs', async () => {
    await typeKeys('const x = Math.sin');
    await list().locator('[aria-selected="true"]').waitFor();
    await page.keyboard.press('Enter');
    await expect.poll(() => textOf(work)).toBe('const x = Math.sin\n');
    await typeKeys('given.');
    await list().waitFor();
    await page.keyboard.press('ControlOrMeta+Enter');
    await list().waitFor({ state: 'detached' });
  });

  test('a list never covers the answer line or an error', async () => {
    await typeKeys('const x = given.widht;');
    await run(page, work);
    await cell(page, work).locator('.error').waitFor();
    await typeKeys('given.');
    await list().waitFor();
    const boxOf = async (selector: string) => {
      const box = await page.locator(selector).first().boundingBox();
      if (!box) throw new Error(`${selector} is not to be seen.`);
      return box;
    };
    const shown = await boxOf('.cm-tooltip-autocomplete');
    for (const one of [`[data-cell="${work}"] .error`, '[data-cell="3-1-answer"] .entry']) {
      const { y, height } = await boxOf(one);
      expect(shown.y + shown.height <= y || shown.y >= y + height, one).toBe(true);
    }
    await page.keyboard.press('Escape');
  });

  test('F1 in a name, and the mouse at rest on it, show what it does with its example', async () => {
    await typeKeys('const w = um(94);');
    await page.keyboard.press('Home');
    for (let n = 0; n < 11; n += 1) await page.keyboard.press('ArrowRight');
    await page.keyboard.press('F1');
    const about = page.locator('.cm-tooltip.about, .cm-tooltip .about');
    await about.getByText('Micrometres to metres.').waitFor();
    await about.getByText('Example: um(').waitFor();
    await page.keyboard.press('Escape');
    await about.waitFor({ state: 'detached' });
    await cell(page, work).locator('.cm-line span', { hasText: /^um$/ }).hover();
    await about.getByText('Micrometres to metres.').waitFor();
    await page.mouse.move(5, 5);
    await about.waitFor({ state: 'detached' });
  });

  test.each([
    ['const w = 0,594;', 'Decimals are written with a point', 'const w = 0.594;'],
    ['const w = 94 um;', 'um(94)', 'const w = um(94);'],
    ['const w = 2s + 1;', 'Times is always written', 'const w = 2 * s + 1;'],
    ['const w = asin(0.3);', 'Math.asin', 'const w = Math.asin(0.3);'],
    [
      'const w = Math.sin(Math.cos(0.5) + 1;',
      'is not closed',
      'const w = Math.sin(Math.cos(0.5) + 1);',
    ],
    ['print(given.width)', 'console.log', 'console.log(given.width)'],
    ['const w = d / 2;', 'given.spacing', 'const w = given.spacing / 2;'],
  ])('%s', async (typed, says, meant) => {
    await typeKeys(typed, 5);
    await page.keyboard.press('Escape');
    await run(page, work);
    const error = outputs().locator('.error.worded');
    await error.getByText(says, { exact: false }).first().waitFor();
    expect(await error.locator('.meant code').textContent()).toBe(meant);
    // What the compiler says is there, folded.
    expect(await error.locator('details').getAttribute('open')).toBeNull();
    expect((await error.locator('details pre').textContent())?.length).toBeGreaterThan(20);
    await cell(page, work).locator('.cm-lintRange-error').waitFor();
  });

  test('^ runs, with a remark', async () => {
    await typeKeys('const power = 3^2;');
    await run(page, work);
    await outputs().locator('.remark').getByText('not a power').waitFor();
    expect(await outputs().locator('.remark .meant code').textContent()).toBe(
      'const power = 3**2;',
    );
    expect(await outputs().locator('.error').count()).toBe(0);
  });

  test('the card with the code stands open beside the sheet, and in Help', async () => {
    await page.getByText('The code you need').click();
    const card = page.locator('.card-in-bar .code-card');
    await card.getByText('Math.asin(0.3)').waitFor();
    await page.keyboard.press('Escape');
    await card.waitFor({ state: 'hidden' });
  });
});
