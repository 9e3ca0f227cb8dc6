import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, skip, type } from './stage';

// What depends on what, on the page: marks, bringing along, and sliders. What must be seen follows from the cells' own
// arithmetic.

/** The sheet as it stands, with these cells behind the one with the givens. */
function addCells(file: string, cells: Readonly<Record<string, string>>): void {
  const notebook = JSON.parse(readFileSync(file, 'utf8')) as { cells: { id: string }[] };
  const at = notebook.cells.findIndex(({ id }) => id === 'look');
  const added = Object.entries(cells).map(([id, source]) => ({
    cell_type: 'code',
    id,
    source,
    metadata: {},
    execution_count: null,
    outputs: [],
  }));
  notebook.cells.splice(at + 1, 0, ...added);
  writeFileSync(file, JSON.stringify(notebook));
}

describe.skipIf(skip)('what depends on a cell', () => {
  let page: Page;
  let stage: BrowserContext;
  const out = (id: string) => cell(page, id).locator('.outputs');
  const shows = (id: string, text: string | RegExp) =>
    out(id).getByText(text, { exact: true }).waitFor();
  const note = (id: string) => cell(page, id).locator('.entry .note');
  const alongs = () => page.getByRole('checkbox', { name: 'Bring along what depends on it' });

  const desk = onStage({ viewport: { width: 1440, height: 1000 } }, async (context) => {
    stage = context;
    ({ page } = await newPage(context));
    await openSheet(page, desk);
    const file = join(desk.folder, '02-one-slit.ipynb');
    await page.locator('[data-save="saved"]').waitFor();
    addCells(file, {
      'own-a': 'const w = 4;',
      'own-b': 'const area = w * w;\narea',
      'own-c': 'area + 1',
      'own-d': '7 * 6',
      'own-s':
        "import { movable } from 'multislit';\nconst wide = movable('slit width', um(40), { from: um(10), to: um(200) });",
      'own-t': 'Math.round(wide * 1e6) * 2',
      'own-v': "import { vernierFigure } from 'multislit';\nshow(vernierFigure(degrees(12, 47)));",
    });
    await page.reload();
    await cell(page, 'own-a').waitFor();
  });

  test('for a student nothing is brought along unless asked for', async () => {
    expect(await alongs().isChecked()).toBe(false);
  });

  test('cells that used a name are marked in words once it has another value', async () => {
    for (const id of ['own-a', 'own-b', 'own-c', 'own-d']) await run(page, id);
    await shows('own-c', '17');
    await type(page, 'own-a', 'const w = 5;');
    await run(page, 'own-a');
    await note('own-b').getByText('computed from older values of w', { exact: true }).waitFor();
    await note('own-c').getByText('computed from older values of area', { exact: true }).waitFor();
    expect(await note('own-d').textContent()).toBe('');
    await shows('own-c', '17');
  });

  test('and run by one press, in their order, and only they', async () => {
    const before = await cell(page, 'own-d').getAttribute('data-runs');
    await page.getByRole('button', { name: 'Run the 2 older cells' }).click();
    await shows('own-c', '26');
    expect(await note('own-b').textContent()).toBe('');
    expect(await cell(page, 'own-d').getAttribute('data-runs')).toBe(before);
  });

  test('switched on they follow by themselves; the choice is kept', async () => {
    await alongs().check();
    await type(page, 'own-a', 'const w = 6;');
    await run(page, 'own-a');
    await shows('own-b', '36');
    await shows('own-c', '37');
    await page.reload();
    await cell(page, 'own-a').waitFor();
    expect(await alongs().isChecked()).toBe(true);
  });

  test('a slider moves what depends on it, by keyboard and by its number', async () => {
    for (const id of ['own-s', 'own-t']) await run(page, id);
    await shows('own-t', '80');
    const slider = out('own-s').getByRole('slider', { name: 'slit width, µm' });
    await slider.focus();
    await page.keyboard.press('ArrowRight');
    await shows('own-t', '82');
    expect(await slider.getAttribute('aria-valuetext')).toBe('41 µm');
    const box = out('own-s').getByRole('spinbutton', { name: 'slit width, µm: the number' });
    await box.fill('120');
    await box.press('Enter');
    await shows('own-t', '240');
    await box.fill('500');
    await box.press('Enter');
    await out('own-s').getByText('Give a number from 10 to 200 µm.').waitFor();
    await shows('own-t', '240');
    await out('own-s').getByRole('button', { name: 'Back to 40 µm' }).click();
    await shows('own-t', '80');
  });

  test('dragged fast, the last place wins, and the slider itself stays', async () => {
    const slider = out('own-s').getByRole('slider');
    const same = await slider.elementHandle();
    await slider.evaluate((input: HTMLInputElement) => {
      for (let value = 50; value <= 150; value += 1) {
        input.value = String(value);
        input.dispatchEvent(new Event('input', { bubbles: true }));
      }
    });
    await shows('own-t', '300');
    expect(await same?.evaluate((input) => input.isConnected)).toBe(true);
    await page.locator('[data-save="saved"]').waitFor();
    const saved = readFileSync(join(desk.folder, '02-one-slit.ipynb'), 'utf8');
    expect(saved).toContain('slit width: 150 µm (movable from 10 to 200 µm)');
  });

  test('after a reload a slider is moved at once: the sheet before it runs first', async () => {
    await page.reload();
    const slider = out('own-s').getByRole('slider');
    await slider.focus();
    await page.keyboard.press('ArrowLeft');
    await shows('own-t', '298');
  });

  test('on a phone: a row of signs over the keyboard, and a vernier that scrolls in its place', async () => {
    const browser = stage.browser();
    const phone = await browser!.newContext({
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
      storageState: await stage.storageState(),
    });
    ({ page } = await newPage(phone));
    await page.goto(desk.address);
    await page.getByRole('button', { name: /Go on with One slit/ }).tap();
    await cell(page, 'own-v')
      .getByRole('button', { name: /^Run: / })
      .tap();
    // In every still picture the smallest letters are at least as high as those of a footnote here, px.
    const pictures = page.locator('figure.plot img');
    await out('own-v').locator('figure.plot img').waitFor();
    await expect.poll(() => pictures.count()).toBeGreaterThan(1);
    const smallest = await pictures.evaluateAll((all) =>
      all.map((img) => {
        const [kind, data] = img.getAttribute('src')!.split(',');
        const svg = kind.endsWith(';base64')
          ? new TextDecoder().decode(Uint8Array.from(atob(data), (c) => c.charCodeAt(0)))
          : decodeURIComponent(data);
        const drawn = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
        const sizes = [...drawn.querySelectorAll('[font-size]')].map((text) =>
          Number(text.getAttribute('font-size')),
        );
        const [, , width] = drawn.getAttribute('viewBox')!.split(' ').map(Number);
        return (Math.min(...sizes) * img.clientWidth) / width;
      }),
    );
    for (const size of smallest) expect(size).toBeGreaterThanOrEqual(12);

    const figure = out('own-v').locator('figure.plot');
    const reach = figure.getByRole('group', { name: 'Figure, scrolls to the side' });
    const expectToScroll = async () => {
      const [inside, shown] = await reach.evaluate((box) => [box.scrollWidth, box.clientWidth]);
      expect(inside).toBeGreaterThan(1.5 * shown);
    };
    await expectToScroll();
    await figure.getByRole('button', { name: /^Zoom or read off/ }).tap();
    await figure.and(page.locator('[data-drawn="true"]')).waitFor();
    await expectToScroll();
    // No number of the circle lies over the next.
    const texts = figure.locator('.annotation-text', { hasText: '°' });
    const boxes = await Promise.all((await texts.all()).map((text) => text.boundingBox()));
    for (const [n, a] of boxes.entries())
      for (const b of boxes.slice(n + 1)) {
        const apart = a!.x + a!.width < b!.x || b!.x + b!.width < a!.x;
        expect(apart || Math.abs(a!.y - b!.y) > a!.height / 2).toBe(true);
      }
    expect(boxes.length).toBeGreaterThan(10);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);

    const editor = cell(page, 'own-a').getByRole('textbox');
    await editor.tap();
    await editor.press('ControlOrMeta+a');
    await page.keyboard.insertText('const w');
    const put = async (...names: string[]) => {
      for (const name of names)
        await page.getByRole('toolbar', { name: 'Signs to type' }).getByLabel(name).tap();
    };
    await put('equals', 'open round bracket', 'open square bracket');
    await page.keyboard.insertText('3');
    await put('comma');
    await page.keyboard.insertText('4');
    await put('close square bracket', 'point');
    await page.keyboard.insertText('length');
    await put('close round bracket', 'times', 'divided by');
    expect(await editor.textContent()).toBe('const w=([3,4].length)*/');
    await page.keyboard.press('Backspace');
    await page.keyboard.insertText('4;');
    await run(page, 'own-a');
    // Brought along, as it was chosen: 8 · 8, and one more.
    await shows('own-b', '64');
    expect(await page.getByRole('toolbar').count()).toBe(0);
    await phone.close();
  });
});
