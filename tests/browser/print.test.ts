import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { needs } from '../needs';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, skip, type } from './stage';

const { path: pdftotext, skip: noReader } = needs('pdftotext');

describe.skipIf(skip || noReader)('a sheet on paper', () => {
  let page: Page;
  let pages: string[];
  const file = () => join(desk.folder, 'sheet.pdf');

  const desk = onStage({ viewport: { width: 1440, height: 900 } }, async (context) => {
    ({ page } = await newPage(context));
    await openSheet(page, desk);
    await type(
      page,
      '2-1-work',
      'const firstDarkLine = 12;\nfor (let i = 1; i <= 300; i++) console.log(i);',
    );
    await run(page, '2-1-work');
    await run(page, '2-1-answer');
    await cell(page, '2-1-answer').locator('.verdict').waitFor();
    writeFileSync(file(), await page.pdf({ format: 'A4', preferCSSPageSize: true }));
    const text = execFileSync(pdftotext, ['-layout', file(), '-'], { encoding: 'utf8' });
    pages = text.split('\f').slice(0, -1);
  });

  test('takes a few pages of A4, none of them empty', () => {
    expect(pages.length).toBeGreaterThanOrEqual(5);
    expect(pages.length).toBeLessThanOrEqual(14);
    for (const one of pages) expect(one.trim().split('\n').length).toBeGreaterThan(8);
    const size = execFileSync('pdfinfo', [file()], {
      encoding: 'utf8',
    });
    // A4 is 210 mm × 297 mm (ISO 216): 595 × 842 points of 1/72 inch.
    expect(size).toMatch(/Page size:\s+59[45](\.\d+)? x 84[12](\.\d+)? pts/);
  });

  test('every page names the sheet, the student number and its own number', () => {
    for (const [i, one] of pages.entries())
      expect(one.trim().split('\n')[0]).toMatch(
        new RegExp(`^One slit\\s+Student number 204117 · page ${i + 1}$`),
      );
  });

  test('every question with its marks, the working and the verdict are there', () => {
    const text = pages.join('\n');
    for (let i = 1; i <= 9; i++) expect(text).toMatch(new RegExp(`^\\s*2\\.${i} \\S`, 'm'));
    expect(text).toContain('console.log(i)');
    expect(text).toContain('… 276 of 300 lines are not shown.');
    expect(text).toMatch(/not yet/i);
  });

  test('no button, bar, rail or notice is printed', async () => {
    const text = pages.join('\n');
    for (const word of [
      'Run from the top',
      'Restart',
      'Hand in …',
      'Show large',
      'Show all',
      'Saved',
    ])
      expect(text).not.toContain(word);
    await page.emulateMedia({ media: 'print' });
    const seen = await page
      .getByRole('button')
      .evaluateAll((buttons) =>
        buttons
          .filter((button) => !button.matches('.enlarge') && button.getClientRects().length > 0)
          .map((button) => button.textContent),
      );
    expect(seen).toEqual([]);
    await page.emulateMedia({ media: 'screen' });
  });

  test('the film strips are on it', () => {
    const list = execFileSync('pdfimages', ['-list', file()], {
      encoding: 'utf8',
    });
    const sizes = [...list.matchAll(/image\s+(\d+)\s+(\d+)/g)].map(([, width, height]) => [
      +width,
      +height,
    ]);
    // The strips of this sheet lie one below the other in one picture, far wider than high.
    expect(sizes.filter(([width, height]) => width > 900 && width > 3 * height)).not.toEqual([]);
  });
});
