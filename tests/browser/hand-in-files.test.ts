import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import type { Download, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { keyOf, oneSlit } from '../cli/class-for-test';
import { multislit } from '../cli/multislit';
import { needs } from '../needs';
import { scratch } from '../scratch';
import { type SiteForTest, siteForTest } from '../web/site-for-test';
import { findings, sizes } from './find-faults';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, saved, skip, type } from './stage';

// A photograph and a table of one's own, from the page to the marks: the same numbers at each place.

const { at } = scratch('hand-in-files-');
const kept = (name: string) =>
  readFileSync(new URL(`../fitting/picture/pictures/${name}`, import.meta.url));
/** A photograph with what a camera writes into it: an EXIF segment that says where (CIPA DC-008, from memory). */
function photograph(): Uint8Array {
  const file = kept('full-colour.jpg');
  const body = Buffer.from('Exif\0\0MM\0*\0\0\0\b\0\0 GPS 47.1 N, Edda Lund');
  const head = Buffer.from([0xff, 0xe1, (body.length + 2) >> 8, (body.length + 2) & 255]);
  return new Uint8Array(Buffer.concat([file.subarray(0, 2), head, body, file.subarray(2)]));
}
const table = 'x / mm;signal\n0;7\n1,5;12,25\n';
const work = `import { pictureFigure, readPicture, readTable } from 'multislit';
let light = 0;
readPicture('my spots.jpg').each((row) => { for (let i = 0; i < row.length; i++) light += row[i]; });
console.log('read', light, readTable('Übung.csv').y[1]);
show(pictureFigure('my spots.jpg', 'My spots.'));
${keyOf(oneSlit).model['2-1-work']}`;

describe.skipIf(skip)('a sheet handed in with its files', () => {
  let page: Page;
  const desk = onStage({ bypassCSP: true, acceptDownloads: true }, async (context) => {
    ({ page } = await newPage(context));
    writeFileSync(join(desk.folder, 'my spots.jpg'), photograph());
    writeFileSync(join(desk.folder, 'Übung.csv'), table);
    writeFileSync(join(desk.folder, 'another.jpg'), photograph());
    await openSheet(page, desk);
  });
  let site: SiteForTest | undefined;
  beforeAll(async () => {
    site = await siteForTest([oneSlit]);
  });
  afterAll(() => site?.remove());
  const bytesOf = async (download: Download) => new Uint8Array(readFileSync(await download.path()));
  const printed = (on: Page) =>
    cell(on, '2-1-work')
      .getByText(/^read \d+ 12\.25/)
      .first();
  let zip: Uint8Array;
  let said: string;

  test('the one file is a zip with the files that its cells read, bare of where and when', async () => {
    await type(page, '2-1-work', work);
    await run(page, '2-1-work');
    said = (await printed(page).textContent())!.trim();
    await saved(page);
    await page.getByRole('button', { name: 'Hand in …' }).click();
    const dialog = page.getByRole('dialog');
    const list = dialog.locator('.along li');
    await list.first().waitFor();
    expect(await list.allTextContents()).toEqual([
      expect.stringMatching(/^my spots\.jpg \(\d+ kB\)$/),
      'Übung.csv (1 kB)',
    ]);
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      expect([width, await findings(page)]).toEqual([width, []]);
      if (process.env.KEEP) await page.screenshot({ path: at(`hand-in-${width}.png`) });
    }
    await page.setViewportSize({ width: 1440, height: 900 });
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      dialog.getByRole('button', { name: 'Make the file as it is' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe(`204117-${oneSlit}.zip`);
    await dialog.getByText(`Made: 204117-${oneSlit}.zip`).waitFor();
    zip = await bytesOf(download);
    const files = unzipSync(zip);
    const names = [`204117-${oneSlit}.ipynb`, 'my spots.jpg', 'Übung.csv'];
    expect(Object.keys(files)).toEqual(names);
    expect(Buffer.from(files['my spots.jpg']).includes('GPS')).toBe(false);
    expect(strFromU8(files['Übung.csv'])).toBe(table);
    expect(readNotebook(strFromU8(files[names[0]])).cells.length).toBeGreaterThan(20);
    await dialog.getByRole('button', { name: 'Close' }).click();
  });

  test.skipIf(needs('bwrap').skip)('marking reads the same numbers from it', async () => {
    mkdirSync(at('returns'));
    writeFileSync(at('returns', 'any name.zip'), zip);
    const words = ['mark', at('returns'), '--to', at('marks'), '--jobs', '1', '--sheet', oneSlit];
    expect((await multislit(words)).code).toBe(0);
    const path = at('marks', 'records', oneSlit, '204117.json');
    const record: MarkRecord = JSON.parse(readFileSync(path, 'utf8'));
    const ran = record.cells.find(({ id }) => id === '2-1-work');
    expect(ran?.error).toBeUndefined();
    expect(JSON.stringify(ran?.outputs)).toContain(said);
    expect(record.questions.find(({ question }) => question === '2.1')).toMatchObject({ marks: 2 });
  });

  test('a browser alone takes it in, runs it to the same numbers, and gives it back whole', async () => {
    const other = await page.context().newPage();
    other.setDefaultTimeout(60_000);
    await other.goto(site!.address);
    const chosen = { name: 'mine.zip', mimeType: 'application/zip', buffer: Buffer.from(zip) };
    await other.getByLabel('Notebooks or zips to bring in').setInputFiles([chosen]);
    const told = other.locator('.brought li');
    await told.nth(2).waitFor();
    expect(await told.allTextContents()).toEqual([
      'my spots.jpg: Brought in, for cells to read.',
      'Übung.csv: Brought in, for cells to read.',
      expect.stringMatching(/^One slit: Brought in from/),
    ]);
    await other.goto(`${site!.address}?/sheet/${oneSlit}.ipynb`);
    await cell(other, '2-1-work').getByRole('textbox').waitFor();
    const before = await cell(other, '2-1-work').getAttribute('data-runs');
    expect(before).not.toBe('1');
    await run(other, '2-1-work');
    expect((await printed(other).textContent())!.trim()).toBe(said);
    await saved(other);
    const press = (name: string) => other.getByRole('button', { name, exact: true }).click();
    const [one] = await Promise.all([other.waitForEvent('download'), press('Download')]);
    expect(one.suggestedFilename()).toBe(`${oneSlit}.zip`);
    expect(Object.keys(unzipSync(await bytesOf(one))).slice(1)).toEqual([
      'my spots.jpg',
      'Übung.csv',
    ]);
    await other.goto(site!.address);
    const [all] = await Promise.all([
      other.waitForEvent('download'),
      press('Download all in one zip'),
    ]);
    expect(Object.keys(unzipSync(await bytesOf(all))).sort()).toEqual(
      [`${oneSlit}.ipynb`, 'my spots.jpg', 'student.json', 'Übung.csv'].sort(),
    );
  });
});
