import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { unzipSync } from 'fflate';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { findKey } from '../../kernel-lib/kernel/sheets';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import {
  choosePhotograph,
  markBright,
  setScale,
  shownLength,
  truthOf,
} from '../browser/photograph-stage';
import { cell, launchBrowser, newPage, saved, skip, type } from '../browser/stage';
import { multislit } from '../cli/multislit';
import { leaks } from './every-text';

const oneSlit = '02-one-slit';
const folder = mkdtempSync(join(tmpdir(), 'memory stick '));
const path = join(folder, 'one slit.html');
const address = pathToFileURL(path).href;

beforeAll(async () => {
  expect((await multislit(['hand-out', '--file', path, oneSlit])).err).toBe('');
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('one sheet in one file', () => {
  test('takes no more room than is said, asks for nothing from anywhere, and holds nothing of any key', () => {
    const html = readFileSync(path, 'utf8');
    // The guide says 2.9 MB.
    expect(statSync(path).size).toBeLessThan(2.95e6);
    expect(html.match(/(?:src|href)="(?!data:)/g)).toBeNull();
    const [, policy] = /Content-Security-Policy" content="([^"]*)"/.exec(html) as RegExpExecArray;
    expect(policy).toMatch(/^default-src 'none';/);
    expect(policy).not.toMatch(/https?:|'self'|\*/);
    const scripts = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(([, text]) => text);
    expect(scripts).toHaveLength(2);
    for (const script of scripts) {
      const digest = createHash('sha256').update(script).digest('base64');
      expect(policy).toContain(`'sha256-${digest}'`);
    }
    const [, packed] = /id="packed">([^<]*)</.exec(html) as RegExpExecArray;
    const parts = Object.entries(unzipSync(Buffer.from(packed, 'base64')));
    expect(parts.length).toBeGreaterThan(6);
    expect(leaks([[path, readFileSync(path)]])).toEqual([]);
  });

  test.each([
    [['--file', 'two.html', oneSlit, '03-two-slits'], 2, '--file takes one sheet'],
    [['--file', 'one.txt', oneSlit], 2, 'a name that ends in .html'],
    [['--file', 'one.html', '--web', 'site', oneSlit], 2, 'say once where it goes'],
    [['--file', path, oneSlit], 1, 'is there already, and nothing is written over'],
    [['--file', join(folder, 'x.html'), '09-nothing'], 1, 'There is no sheet "09-nothing"'],
  ])('%j is refused', async (args, code, sentence) => {
    const ended = await multislit(['hand-out', ...args]);
    expect([ended.code, ended.err]).toEqual([code, expect.stringContaining(sentence)]);
  });
});

describe.skipIf(skip)('opened from a disk', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(() => browser?.close());

  test('the sheet runs, earns its marks, stays, and goes out as a file', async () => {
    const context = await browser.newContext({ acceptDownloads: true, offline: true });
    const { page, faults } = await newPage(context);
    await page.goto(address);
    await page.getByLabel('Your student number').fill('204117');
    await page.getByLabel('Your student number').press('Enter');
    await page.getByRole('button', { name: 'Begin One slit' }).click();
    await cell(page, 'given').getByText('Student 204117').waitFor();
    const model = findKey(oneSlit)?.model['2-1-work'] ?? '';
    await type(page, '2-1-work', model);
    await cell(page, '2-1-answer')
      .getByRole('button', { name: /^Check/ })
      .click();
    await cell(page, '2-1-answer').getByText('Agrees.').waitFor();
    await saved(page);
    await page.reload();
    await cell(page, '2-1-answer').getByText('Agrees.').waitFor();
    await page.getByRole('button', { name: 'Hand in …' }).click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: /^Make the file/ }).click(),
    ]);
    expect(download.suggestedFilename()).toBe(`204117-${oneSlit}.ipynb`);
    const notebook = readNotebook(readFileSync(await download.path(), 'utf8'));
    expect(sourceOf(notebook.cells.find(({ id }) => id === '2-1-work')!)).toBe(model);
    expect(faults).toEqual([]);
    await context.close();
  });

  test('a photograph is kept in it, read, and fitted', async () => {
    const context = await browser.newContext({ offline: true });
    const { page, faults } = await newPage(context);
    await page.goto(address);
    await page.getByLabel('Your student number').fill('204117');
    await page.getByLabel('Your student number').press('Enter');
    await page.getByRole('button', { name: 'Begin One slit' }).click();
    await cell(page, 'given').getByText('Student 204117').waitFor();
    const truth = truthOf('009-careful.jpg');
    const own = await choosePhotograph(page, '2.1', truth.file);
    await setScale(page, truth);
    await markBright(page, truth, [-2, -1, 0, 1, 2]);
    const shown = await shownLength(page);
    expect(Math.abs(Number.parseFloat(shown) / (truth.spacing * 1e6) - 1)).toBeLessThan(0.03);
    await page.getByRole('button', { name: 'Write into the cell and run' }).click();
    await own.locator('.outputs').getByText(`spacing by hand: ${shown}`).waitFor();
    await own
      .locator('figcaption', { hasText: 'Trust it: the points follow the pattern of 2 slits' })
      .waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  test('its cells are shut off as on a site', async () => {
    const context = await browser.newContext();
    const { page } = await newPage(context);
    const secret = join(folder, 'secret.txt');
    writeFileSync(secret, 'not for cells');
    await page.goto(address);
    await page.getByLabel('Your student number').fill('204117');
    await page.getByLabel('Your student number').press('Enter');
    await page.getByRole('button', { name: 'Begin One slit' }).click();
    await cell(page, 'given').getByText('Student 204117').waitFor();
    const tries = {
      file: `await fetch('${pathToFileURL(secret).href}')`,
      database: `await new Promise((done, fail) => { const q = indexedDB.open('x'); q.onsuccess = done; q.onerror = () => fail(q.error); })`,
      storage: `localStorage.getItem('x')`,
      page: `parent.document.title`,
    };
    const code = Object.entries(tries).map(
      ([name, code]) =>
        `try { await (0, eval)(${JSON.stringify(`(async () => { ${code}; })()`)}); console.log('REACHED ${name}'); } catch { console.log('shut ${name}'); }`,
    );
    await type(page, '2-7-work', code.join('\n'));
    await cell(page, '2-7-work').getByRole('button', { name: /^Run/ }).click();
    await cell(page, '2-7-work').getByText('shut page').waitFor();
    const said = await cell(page, '2-7-work').locator('.outputs').textContent();
    for (const name of Object.keys(tries)) expect(said).toContain(`shut ${name}`);
    // The page itself may evaluate nothing either.
    const evaluated = await page.evaluate(
      () =>
        // In a task of its own: what a test asks directly is let past every policy.
        new Promise((done) =>
          setTimeout(() => {
            try {
              done(new Function('return 1')());
            } catch (error) {
              done((error as Error).name);
            }
          }),
        ),
    );
    expect(evaluated).toBe('EvalError');
    await context.close();
  });

  test('where the browser keeps nothing for files from a disk, it says so', async () => {
    const context = await browser.newContext();
    await context.addInitScript(() => {
      Object.defineProperty(window, 'indexedDB', { value: undefined });
    });
    const { page } = await newPage(context);
    await page.goto(address);
    await page.getByText('This browser keeps nothing for this page').waitFor();
    await page.getByLabel('Your student number').fill('204117');
    await page.getByLabel('Your student number').press('Enter');
    await page.getByRole('button', { name: 'Begin One slit' }).click();
    await cell(page, 'given').getByText('Student 204117').waitFor();
    await type(page, '2-1-work', 'const firstDarkLine = 3;');
    await page.getByRole('link', { name: 'Worksheets', exact: true }).click();
    await page.getByRole('button', { name: 'Go on with One slit' }).click();
    await cell(page, '2-1-work').getByText('const firstDarkLine = 3;').waitFor();
    await context.close();
  });
});
