import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  cell,
  chromiumPath,
  launchBrowser,
  newPage,
  openSheet,
  run,
  skip,
  type,
} from '../browser/stage';
import { type SiteForTest, siteForTest } from './site-for-test';

// Cells that take all the memory there is, in a browser that has little: Chromium then ends the tab, or what runs in it.

const little = '--js-flags=--max-old-space-size=200';

describe.skipIf(skip)('a cell that asks for too much', () => {
  let site: SiteForTest;
  beforeAll(async () => {
    site = await siteForTest(['02-one-slit']);
  });
  afterAll(() => site.remove());

  test('may end the page, but nothing typed is lost, and the page says where it was', async () => {
    // A profile of its own: what a private window keeps in memory goes with its last tab.
    const profile = mkdtempSync(join(tmpdir(), 'chromium-'));
    const args = ['--no-sandbox', '--disable-gpu', little];
    const context = await chromium.launchPersistentContext(profile, {
      executablePath: chromiumPath,
      args,
    });
    try {
      const { page } = await newPage(context);
      await openSheet(page, site);
      await type(page, '2-1-work', 'const firstDarkLine = 1; // typed before');
      await run(page, '2-1-work');
      const bomb =
        'const all: any[] = [];\nwhile (true) all.push(new Array(1e5).fill(all.length));';
      await type(page, '2-4-work', bomb);
      const ended = page.waitForEvent('crash', { timeout: 0 });
      // At once, without a pause in which anything could be kept by a timer.
      await page.keyboard.press('ControlOrMeta+Enter');
      await ended;
      await page.close();

      const { page: again, faults } = await newPage(context);
      await again.goto(`${site.address}?/sheet/02-one-slit.ipynb`);
      const notice = again.locator('.notice', { hasText: 'while the cell of question 2.4 ran' });
      await notice.waitFor();
      for (const [id, text] of [
        ['2-1-work', '// typed before'],
        ['2-4-work', 'all.push(new Array(1e5)'],
      ])
        await expect.poll(() => cell(again, id).getByRole('textbox').textContent()).toContain(text);
      await type(again, '2-4-work', 'console.log(6 * 7);');
      await run(again, '2-4-work');
      expect(await cell(again, '2-4-work').locator('.outputs').textContent()).toContain('42');
      await again.reload();
      await cell(again, '2-4-work').getByRole('textbox').waitFor();
      expect(await notice.count()).toBe(0);
      expect(faults).toEqual([]);
    } finally {
      await context.close();
      rmSync(profile, { recursive: true, force: true });
    }
  });

  test('what runs is noted on the disk, in a database that is opened once', async () => {
    const browser = await launchBrowser();
    const { page } = await newPage(await browser.newContext());
    try {
      await page.addInitScript(() => {
        const { open } = IDBFactory.prototype;
        IDBFactory.prototype.open = function (name, version) {
          performance.mark(`opened ${name}`);
          return open.call(this, name, version);
        };
      });
      await openSheet(page, site);
      for (const source of ['1', '2', '3']) {
        await type(page, '2-1-work', source);
        await run(page, '2-1-work');
      }
      const opened = await page.evaluate(() =>
        performance.getEntriesByType('mark').flatMap(({ name }) => /^opened (.*)/.exec(name)?.[1]),
      );
      expect(opened.sort()).toEqual([
        `multislit ${new URL(site.address).pathname}`,
        'multislit.running',
      ]);
    } finally {
      await browser.close();
    }
  });

  test('or is told by the engine', async () => {
    const { page } = await newPage(await (await launchBrowser()).newContext());
    try {
      await openSheet(page, site);
      for (const [bomb, sentence] of [
        ["let text = 'x';\nwhile (true) text += text;", 'Invalid string length'],
        ['const list = [1];\nwhile (true) list.length *= 2;', 'Invalid array length'],
        ['new Float64Array(2 ** 40);', 'Invalid typed array length'],
      ]) {
        await type(page, '2-4-work', bomb);
        await run(page, '2-4-work');
        await cell(page, '2-4-work').locator('.outputs').getByText(sentence).first().waitFor();
      }
    } finally {
      await page.context().browser()?.close();
    }
  });
});
