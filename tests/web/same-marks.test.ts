import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { findSheet, sheetNames } from '../../kernel-lib/kernel/sheets';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { codeCells } from '../../kernel-lib/notebook/notebook';
import {
  cell,
  DeskProcess,
  launchBrowser,
  newPage,
  openSheet,
  saved,
  skip,
  type,
} from '../browser/stage';
import { keyOf, machineMarks, originalOf } from '../cli/class-for-test';
import { hang, multislit } from '../cli/multislit';
import { needs } from '../needs';
import { siteForTest } from './site-for-test';

// A student who has nothing but a browser loses nothing by it: the same work, typed into the page of a site and into that
// of a desk, run and handed in there, is marked to the same marks, in every question and every word.

const student = '204117';
const sheets = process.env.MULTISLIT_ALL_SHEETS
  ? sheetNames()
  : ['03-two-slits', '07-your-own-pattern'];

describe.skipIf(skip || needs('bwrap').skip)(
  'a sheet made in the browser',
  { timeout: hang },
  () => {
    const folder = mkdtempSync(join(tmpdir(), 'same marks '));
    const desk = new DeskProcess();
    let places: Readonly<Record<'desk' | 'site', { readonly address: string }>>;
    let remove: () => Promise<void>;
    let browser: Browser;
    beforeAll(async () => {
      const [site] = await Promise.all([siteForTest(sheets), desk.start()]);
      remove = () => site.remove();
      places = { desk, site };
      browser = await launchBrowser();
    });
    afterAll(async () => {
      await browser?.close();
      await desk.remove();
      await remove?.();
      rmSync(folder, { recursive: true, force: true });
    });

    async function answer(page: Page, sheet: string): Promise<void> {
      for (const [id, source] of Object.entries(keyOf(sheet).model)) {
        const written = /^(\d)-(\d)-written$/.exec(id);
        if (written) {
          const label = `Your answer to question ${written[1]}.${written[2]}`;
          await page.getByLabel(label, { exact: true }).fill(source);
        } else await type(page, id, source);
      }
    }

    /** Run all of it, to the end or to the first error. */
    async function runAll(page: Page, sheet: string): Promise<void> {
      const last = codeCells(originalOf(sheet)).at(-1)?.id ?? '';
      const runs = await cell(page, last).getAttribute('data-runs');
      const ended = page.locator(
        `[data-cell="${last}"][data-state="still"]:not([data-runs="${runs}"])`,
      );
      const stopped = page.getByText('Stopped at an error');
      await page.getByRole('button', { name: 'Run from the top' }).click();
      await ended.or(stopped).first().waitFor();
      expect(await stopped.count()).toBe(0);
    }

    async function handIn(where: 'desk' | 'site', sheet: string): Promise<MarkRecord> {
      const { page } = await newPage(await browser.newContext({ acceptDownloads: true }));
      await openSheet(page, places[where], findSheet(sheet)?.title);
      await answer(page, sheet);
      await runAll(page, sheet);
      await saved(page);
      await page.getByRole('button', { name: 'Hand in …', exact: true }).click();
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: /^Make the file/ }).click(),
      ]);
      expect(download.suggestedFilename()).toBe(`${student}-${sheet}.ipynb`);
      const returns = join(folder, where, sheet);
      mkdirSync(returns, { recursive: true });
      copyFileSync(await download.path(), join(returns, download.suggestedFilename()));
      await page.context().close();

      const marks = join(folder, `${where} marks`, sheet);
      const ended = await multislit([
        'mark',
        returns,
        '--to',
        marks,
        '--jobs',
        '1',
        '--sheet',
        sheet,
      ]);
      expect([ended.code, ended.err]).toEqual([0, expect.not.stringContaining('rror')]);
      return JSON.parse(readFileSync(join(marks, 'records', sheet, `${student}.json`), 'utf8'));
    }

    test.each(sheets)(
      '%s has the marks of the one made at the desk, all of them',
      async (sheet) => {
        const fromDesk = await handIn('desk', sheet);
        const fromSite = await handIn('site', sheet);
        // When a file came is of the file.
        const aside = { time: null, timeFrom: undefined, doubt: undefined };
        expect({ ...fromSite, ...aside }).toEqual({ ...fromDesk, ...aside });
        const sum = fromSite.questions.reduce((all, { marks }) => all + marks, 0);
        expect(sum).toBe(machineMarks(sheet));
      },
    );
  },
);
