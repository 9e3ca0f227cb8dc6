import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { decode, encode } from 'fast-png';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onStage } from './on-stage';
import { newPage, openSheet, saved, skip } from './stage';

/**
 * How each screen of the page looks, as pictures that a person can look at: `pictures/`. After a change of looks that
 * is meant, `MULTISLIT_RENEW_PICTURES=1 npm test -- tests/browser/pictures.test.ts` keeps the new ones; look at them
 * before they are committed. A picture that differs lies in `.build/pictures/`, under the same name.
 */
const renew = process.env.MULTISLIT_RENEW_PICTURES === '1';
const place = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** Side of the blocks whose mean colours are compared, pixels: letters of another machine are drawn a little otherwise. */
const BLOCK = 10;
/** A mean that is farther off than this, of 255, is another picture there. */
const FAR = 20;
/** So many blocks may be far off. */
const SHARE = 0.004;

// Letters of one width on every machine: of a font that comes with a package, not of the system's.
const font = readFileSync(
  createRequire(import.meta.url).resolve('katex/dist/fonts/KaTeX_SansSerif-Regular.woff2'),
).toString('base64');
const style = `@font-face { font-family: Pinned; src: url(data:font/woff2;base64,${font}) }
:not(.katex *) { font-family: Pinned !important }
* { transition: none !important; animation: none !important }
.path { display: none }
[data-save] { visibility: hidden }
::-webkit-scrollbar { display: none }`;

/** Mean red, green and blue of each block. */
function blocks(png: Uint8Array): { size: string; means: number[] } {
  const { width, height, data, channels } = decode(png);
  const means: number[] = [];
  for (let top = 0; top < height; top += BLOCK)
    for (let left = 0; left < width; left += BLOCK)
      for (let channel = 0; channel < 3; channel++) {
        let sum = 0;
        let count = 0;
        for (let y = top; y < Math.min(top + BLOCK, height); y++)
          for (let x = left; x < Math.min(left + BLOCK, width); x++, count++)
            sum += data[(y * width + x) * channels + channel];
        means.push(sum / count);
      }
  return { size: `${width} × ${height}`, means };
}

/** The same picture in fewer colours, which nobody sees, and half as many bytes. */
function small(png: Uint8Array): Uint8Array {
  const picture = decode(png);
  const data = Uint8Array.from(picture.data, (value) =>
    Math.round((Math.round((value / 255) * 31) / 31) * 255),
  );
  return encode({ ...picture, data, depth: 8 }, { zlib: { level: 9 } });
}

async function expectAsKept(page: Page, name: string): Promise<void> {
  await page.addStyleTag({ content: style });
  await page.evaluate(async () => {
    (document.activeElement as HTMLElement | null)?.blur();
    await document.fonts.load('16px Pinned');
    await document.fonts.ready;
    // Two frames: one for the letters, one for what follows the new heights.
    for (let i = 0; i < 2; i++) await new Promise(requestAnimationFrame);
  });
  const seen = await page.screenshot({ animations: 'disabled', caret: 'hide' });
  const kept = place(`pictures/${name}.png`);
  if (renew) return writeFileSync(kept, small(seen));
  const [now, before] = [blocks(seen), blocks(readFileSync(kept))];
  const far = now.means.filter((mean, i) => Math.abs(mean - before.means[i]) > FAR).length;
  if (now.size !== before.size || far > SHARE * now.means.length) {
    mkdirSync(place('../../.build/pictures'), { recursive: true });
    writeFileSync(place(`../../.build/pictures/${name}.png`), seen);
  }
  expect(now.size).toBe(before.size);
  expect(
    far,
    `blocks of .build/pictures/${name}.png that differ from the kept picture`,
  ).toBeLessThanOrEqual(SHARE * now.means.length);
}

describe.skipIf(skip)('the page looks as it did', () => {
  let context: BrowserContext;
  let page: Page;
  const desk = onStage({ bypassCSP: true, deviceScaleFactor: 1 }, async (made) => {
    context = made;
    ({ page } = await newPage(context));
    await openSheet(page, desk);
    await saved(page);
  });
  const sheet = () => page.goto(`http://127.0.0.1:${desk.port}/sheet/02-one-slit.ipynb`);

  for (const [width, height] of [
    [1280, 800],
    [390, 844],
  ]) {
    test(`front page, ${width} pixels wide`, async () => {
      await page.setViewportSize({ width, height });
      await page.goto(`http://127.0.0.1:${desk.port}/`);
      await page.waitForFunction(() => {
        const films = [...document.querySelectorAll<HTMLCanvasElement>('.film.small canvas')];
        return films.length > 0 && films.every((film) => film.dataset.developed);
      });
      await expectAsKept(page, `front-${width}`);
    });

    test(`sheet and hand-in, ${width} pixels wide`, async () => {
      await page.setViewportSize({ width, height });
      await sheet();
      await page.locator('[data-kernel="ready"]').waitFor();
      await page.locator('.cm-editor').first().waitFor();
      await expectAsKept(page, `sheet-${width}`);
      await page.getByRole('link', { name: '2.1' }).first().click();
      await expectAsKept(page, `question-${width}`);
      await page.getByRole('button', { name: 'Hand in …' }).click();
      await page.getByRole('button', { name: 'Make the file as it is' }).waitFor();
      await expectAsKept(page, `hand-in-${width}`);
    });

    test(`bench, ${width} pixels wide`, async () => {
      await page.setViewportSize({ width, height });
      await page.goto(`http://127.0.0.1:${desk.port}/bench`);
      await page.locator('.readout').waitFor();
      await expectAsKept(page, `bench-${width}`);
    });
  }
});
