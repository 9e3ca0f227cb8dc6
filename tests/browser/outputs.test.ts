// biome-ignore-all lint/suspicious/noTemplateCurlyInString: sources of cells
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { findings } from './find-faults';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

describe.skipIf(skip)('what comes out of a cell', () => {
  let page: Page;
  let faults: string[];

  const desk = onStage(
    { bypassCSP: true, viewport: { width: 1440, height: 900 } },
    async (context) => {
      ({ page, faults } = await newPage(context));
      await openSheet(page, desk);
    },
  );

  const printed = () => cell(page, '2-1-work').locator('.printed');
  const linesShown = async () =>
    ((await printed().locator('pre').first().textContent()) ?? '').split('\n').length;
  const focused = () =>
    page.evaluate(
      () =>
        document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent,
    );

  test('long text is folded; Enter on its button opens it and folds it again', async () => {
    await type(page, '2-1-work', 'for (let i = 1; i <= 300; i++) console.log(i);');
    await run(page, '2-1-work');
    const button = printed().getByRole('button');
    await expect.poll(() => button.textContent()).toBe('Show all 300 lines');
    expect(await linesShown()).toBe(24);
    expect(await button.getAttribute('aria-expanded')).toBe('false');
    await button.focus();
    await page.keyboard.press('Enter');
    await expect.poll(linesShown).toBe(300);
    expect(await button.getAttribute('aria-expanded')).toBe('true');
    expect(await focused()).toBe('Fold');
    await page.keyboard.press('Enter');
    await expect.poll(linesShown).toBe(24);
    expect(await focused()).toBe('Show all 300 lines');
    expect(await findings(page)).toEqual([]);
  });

  test('a flood of lines is capped even when opened, says what is left out, and the file keeps it all', async () => {
    await type(page, '2-1-work', "for (let i = 1; i <= 40_000; i++) console.log('line ' + i);");
    await run(page, '2-1-work');
    await expect
      .poll(() => printed().getByRole('button').allTextContents(), { timeout: 10_000 })
      .toEqual(['Show all 40000 lines']);
    await printed().getByRole('button').click();
    await expect.poll(linesShown).toBe(4000);
    expect(await printed().locator('.left-out').textContent()).toBe(
      '36 000 of 40 000 lines are left out here; all of them stay in the file.',
    );
    await saved(page);
    const kept = await page.evaluate(async () => {
      const answer = await fetch('/api/contents/02-one-slit.ipynb?content=1');
      const { content } = await answer.json();
      const { outputs } = content.cells.find(({ id }: { id: string }) => id === '2-1-work');
      return [outputs[0].text].flat().join('');
    });
    expect(kept.trimEnd().split('\n')).toHaveLength(40_000);
    await type(page, '2-1-work', '');
    await run(page, '2-1-work');
  });

  test.each([
    ['a picture', 'picture'],
    ['a plot', 'plot'],
  ])(
    '%s is shown large by Enter, and Escape puts it back with the focus where it was',
    async (_, what) => {
      const code =
        what === 'plot'
          ? 'show(patternPlot({ s: directions, intensity: directions.map((s) => 1 / (1 + (s / reach) ** 2)) }));'
          : `import { encodePicture, pictureFigure } from 'multislit';
const data = Uint8Array.of(200);
show(pictureFigure(encodePicture({ width: 1, height: 1, channels: 1, data }), 'One grey pixel.'));`;
      await type(page, '2-3-work', code);
      await run(page, '2-3-work');
      const button = cell(page, '2-3-work').getByRole('button', { name: /^Show large/ });
      await button.scrollIntoViewIfNeeded();
      await button.focus();
      const name = await focused();
      await page.keyboard.press('Enter');
      const dialog = page.locator('dialog.enlarged');
      await dialog.waitFor();
      const image = dialog.getByRole('img');
      expect(await image.getAttribute('alt')).toBeTruthy();
      const box = (await image.boundingBox())!;
      expect(box.width).toBeLessThanOrEqual(1440);
      expect(box.height).toBeLessThanOrEqual(900);
      if (what === 'plot') expect(box.width).toBeGreaterThan(900);
      expect(await findings(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await dialog.waitFor({ state: 'detached' });
      expect(await focused()).toBe(name);
      expect(faults).toEqual([]);
    },
  );

  test('a display changes in its place: nothing is taken away, nothing jumps', async () => {
    await type(
      page,
      '2-1-work',
      "import { openDisplay, progress } from 'multislit';\nconst place = openDisplay();\nfor (const i of progress(12)) {\n  place.show(`picture ${i}`);\n  await new Promise((done) => setTimeout(done, 110));\n}\nconsole.log('after');",
    );
    const frame = cell(page, '2-1-work');
    // Every change of the outputs is looked at: how many there are, and how high they stand.
    await frame.evaluate((node) => {
      const seen: [number, number][] = [];
      const look = () => {
        const outputs = node.querySelector('.outputs');
        seen.push([outputs?.children.length ?? 0, outputs?.clientHeight ?? 0]);
      };
      new MutationObserver(look).observe(node, {
        childList: true,
        subtree: true,
        characterData: true,
      });
      (window as unknown as { seen: unknown }).seen = seen;
    });
    await run(page, '2-1-work');
    const seen = await page.evaluate(
      () => (window as unknown as { seen: [number, number][] }).seen,
    );
    const heights = seen.filter(([count]) => count === 2).map(([, height]) => height);
    expect(heights.length).toBeGreaterThan(3);
    expect(new Set(heights).size).toBe(1);
    // Once both are there, neither goes.
    const both = seen.findIndex(([count]) => count === 2);
    for (const [count] of seen.slice(both)) expect(count).toBeGreaterThanOrEqual(2);
    expect(await frame.locator('progress').getAttribute('value')).toBe('12');
    expect(await frame.locator('.outputs').textContent()).toMatch(/12 of 12, done in .*picture 11/);
    expect(await findings(page)).toEqual([]);
    expect(faults).toEqual([]);
  });

  test('a cell that asks gets its answer from a box below it', async () => {
    await type(
      page,
      '2-1-work',
      "import { prompt } from 'multislit';\nconst typed = await prompt('Width of the slit in µm?');\n`${typed} µm`",
    );
    const frame = cell(page, '2-1-work');
    await frame.getByRole('button', { name: /^Run/ }).first().click();
    const box = frame.getByLabel('Width of the slit in µm?');
    await box.waitFor();
    await expect.poll(() => box.evaluate((node) => node === document.activeElement)).toBe(true);
    expect(await findings(page)).toEqual([]);
    await page.keyboard.type('40');
    await page.keyboard.press('Enter');
    await frame.getByText("'40 µm'").waitFor();
    expect(await box.count()).toBe(0);
    expect(faults).toEqual([]);
  });
});
