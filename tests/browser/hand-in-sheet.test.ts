import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { findings, sizes } from './find-faults';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

const right = 'const firstDarkLine = Math.asin(given.wavelength / given.width) / degrees(1);';

describe.skipIf(skip)('handing in a sheet', () => {
  let page: Page;
  const file = () => join(desk.folder, '02-one-slit.ipynb');
  const dialog = () => page.getByRole('dialog');
  const handIn = () => page.getByRole('button', { name: 'Hand in …' }).click();
  const close = () => dialog().getByRole('button', { name: 'Close' }).click();

  const desk = onStage({ bypassCSP: true, acceptDownloads: true }, async (context) => {
    ({ page } = await newPage(context));
    await openSheet(page, desk);
  });

  test('what is still open is told in words first; the one file is what lies on the disk', async () => {
    await type(page, '2-1-work', right);
    await run(page, '2-1-answer');
    await run(page, '2-2-answer');
    await type(page, '2-1-work', `${right} // changed`);
    await handIn();
    await dialog().getByText('9 questions are still open:').waitFor();
    const lines = await dialog().locator('.still-open li').allTextContents();
    expect(lines[0]).toMatch(/^2\.1 .*changed since it was checked$/);
    expect(lines[1]).toMatch(/^2\.2 .*no answer yet$/);
    expect(lines[2]).toMatch(/^2\.3 .*no answer yet$/);
    expect(lines[8]).toMatch(/^2\.9 .*nothing written yet$/);
    expect(await dialog().textContent()).toContain(file());
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      dialog().getByRole('button', { name: 'Make the file as it is' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('204117-02-one-slit.ipynb');
    const sent = readFileSync(await download.path(), 'utf8');
    expect(sent).toBe(readFileSync(file(), 'utf8'));
    expect(sent).toContain('// changed');
    await dialog().getByRole('status').getByText('Made: 204117-02-one-slit.ipynb').waitFor();
    await close();
    // The working that was changed is known as such after a reload too.
    await page.reload();
    await cell(page, '2-1-answer').getByText('working changed since').waitFor();
  });

  test('the dialog passes axe at every size, is left by Escape, and the focus goes back', async () => {
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      await page.getByRole('button', { name: 'Hand in …' }).focus();
      await page.keyboard.press('Enter');
      await dialog().locator('.main').waitFor();
      expect([width, await findings(page)]).toEqual([width, []]);
      await page.keyboard.press('Escape');
      await dialog().waitFor({ state: 'hidden' });
      expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Hand in …');
    }
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  const fromTop = () =>
    dialog().getByRole('button', { name: 'Run from the top, then hand in' }).click();

  test('what an earlier text left behind is no answer, and which cell had it is told', async () => {
    await type(page, '2-1-work', right);
    await run(page, '2-1-answer');
    expect(await cell(page, '2-1-answer').locator('.verdict').textContent()).toMatch(/^Agrees/);
    await type(page, '2-1-work', right.replace('firstDarkLine', 'darkLine'));
    await run(page, '2-1-answer');
    const said = await cell(page, '2-1-answer').locator('.outputs').textContent();
    expect(said).toMatch(/^Not checked: firstDarkLine .*“const darkLine = /);
    expect(await page.locator('.rail li', { hasText: '2.1' }).textContent()).toContain('open');
  });

  test('a run as it is marked goes past errors, and says what they cost before anything is made', async () => {
    await type(page, '2-1-work', right);
    await run(page, '2-1-answer');
    await type(page, '2-1-work', 'const leftBehind = 1;');
    await run(page, '2-1-work');
    await type(page, '2-1-work', 'const firstDarkLine = leftBehind;');
    await run(page, '2-1-work');
    expect(await cell(page, '2-1-work').locator('.error').count()).toBe(0);
    await handIn();
    let made = 0;
    page.on('download', () => {
      made += 1;
    });
    await fromTop();
    const told = dialog().getByRole('alert');
    await told.getByText('ended with an error').waitFor();
    expect(await told.locator('li').allTextContents()).toEqual([
      expect.stringMatching(/^Question 2\.1.*leftBehind/),
      expect.stringMatching(/^2\.1 .*2 marks \(2 before, 0 now\)$/),
    ]);
    expect(await told.textContent()).toContain('It would cost');
    // Cells below the first error have run.
    expect(await cell(page, '2-8-answer').locator('.outputs').count()).toBe(1);
    expect(made).toBe(0);
    expect(await findings(page)).toEqual([]);
    await dialog().getByRole('link', { name: 'Question 2.1' }).click();
    await dialog().waitFor({ state: 'hidden' });
    await cell(page, '2-1-work').locator('.error', { hasText: 'leftBehind' }).waitFor();
  });

  test('an error of the working is told before anything else beside its check', async () => {
    await type(page, '2-1-work', right);
    await run(page, '2-1-answer');
    await type(page, '2-1-work', 'const firstDarkLine = (1;');
    await cell(page, '2-1-answer').getByText('Press Check again').waitFor();
    await cell(page, '2-1-answer')
      .getByRole('button', { name: /^Check/ })
      .click();
    await cell(page, '2-1-answer').getByText('mend that first, then press Check').waitFor();
    expect(await cell(page, '2-1-answer').getByText('Press Check again').count()).toBe(0);
  });

  test('a run that is stopped makes no file and says so; the cell says what is kept', async () => {
    await type(page, '2-1-work', "console.log('begun');\nfor (;;);");
    await handIn();
    await fromTop();
    await dialog()
      .getByText(/^Running from the top, as it is marked: cell \d+ of \d+/)
      .waitFor();
    await cell(page, '2-1-work').locator('.printed', { hasText: 'begun' }).waitFor();
    await dialog().getByRole('button', { name: 'Stop' }).click();
    await dialog().getByRole('alert').getByText('stopped before its end').waitFor();
    await close();
    const stopped = await cell(page, '2-1-work').locator('.stopped').textContent();
    expect(stopped).toMatch(/^Stopped\. Your text and what the cell has shown so far are kept/);
    expect(stopped).not.toMatch(/error|interrupt/i);
  });

  test('where all comes out as before the file is made by itself, and holds what was seen', async () => {
    await type(page, '2-1-work', `${right} // changed`);
    await run(page, '2-1-answer');
    await saved(page);
    await handIn();
    const coming = page.waitForEvent('download');
    await fromTop();
    const sent = readNotebook(readFileSync(await (await coming).path(), 'utf8'));
    await dialog().getByText('Made: 204117-02-one-slit.ipynb').waitFor();
    const counts = sent.cells.flatMap((one) =>
      one.cell_type === 'code' ? [one.execution_count] : [],
    );
    expect(counts).toEqual(counts.map((_, n) => n + 1));
    // As it has run from the top just now, the same file may be made again.
    expect(await dialog().locator('.main').textContent()).toMatch(/^Make the file/);
    await close();
  });

  test('with the sample number it is refused with the way to mend it', async () => {
    await type(page, 'student-number', "const studentNumber = '000000';");
    await handIn();
    await dialog().getByRole('alert').getByText("sample student's number").waitFor();
    expect(
      await dialog()
        .getByRole('button', { name: /Make the file/ })
        .count(),
    ).toBe(0);
    await close();
    await type(page, 'student-number', "const studentNumber = '204117';");
    await saved(page);
  });

  test('a file that was changed by another program is taken in, not handed in unseen', async () => {
    const changed = readFileSync(file(), 'utf8').replace('// changed', '// by another');
    writeFileSync(file(), changed);
    await handIn();
    await dialog().getByRole('alert').getByText('changed somewhere else').waitFor();
    await dialog().getByRole('button', { name: 'Try again' }).click();
    await dialog().locator('.main').waitFor();
    await close();
    await cell(page, '2-1-work').getByText('// by another').waitFor();
  });

  test('with the desk gone it is refused, and nothing is downloaded', async () => {
    await desk.kill();
    await handIn();
    await dialog().getByRole('alert').getByText('does not answer. Nothing typed is lost').waitFor();
    expect(
      await dialog()
        .getByRole('button', { name: /Make the file/ })
        .count(),
    ).toBe(0);
    await close();
    expect(readNotebook(readFileSync(file(), 'utf8')).cells.length).toBeGreaterThan(10);
  });
});
