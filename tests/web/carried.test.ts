import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import type { Browser, BrowserContext, Download, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { sourceOf, studentNumberOf, tagOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { findings, sizes } from '../browser/find-faults';
import { cell, DeskProcess, launchBrowser, newPage, saved, skip, type } from '../browser/stage';
import { originalOf, returnOf } from '../cli/class-for-test';
import { type SiteForTest, siteForTest } from './site-for-test';

const oneSlit = '02-one-slit';
const file = `${oneSlit}.ipynb`;
/** What a sheet is called that was put aside. */
const dated = /02-one-slit put aside \d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d\.ipynb/;

describe.skipIf(skip)('files go out of the browser and back in', () => {
  let site: SiteForTest;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let faults: string[];
  /** Of the questions whether the page may be left. */
  let asked = 0;
  const folder = mkdtempSync(join(tmpdir(), 'carried '));

  beforeAll(async () => {
    site = await siteForTest([oneSlit, '03-two-slits']);
    browser = await launchBrowser();
    context = await browser.newContext({ acceptDownloads: true });
    ({ page, faults } = await newPage(context));
    page.on('dialog', async (dialog) => {
      asked += 1;
      await dialog.accept();
    });
  });
  afterAll(async () => {
    await browser?.close();
    await site?.remove();
    rmSync(folder, { recursive: true });
  });

  const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
  const bytesOf = async (download: Download) => new Uint8Array(readFileSync(await download.path()));
  async function downloaded(button: string) {
    const [download] = await Promise.all([page.waitForEvent('download'), press(button)]);
    return { name: download.suggestedFilename(), bytes: await bytesOf(download) };
  }
  /** Choose files on the front page. @returns what the page says of them */
  async function bring(files: Readonly<Record<string, string | Uint8Array>>): Promise<string[]> {
    if (new URL(page.url()).search !== '') await page.goto(site.address);
    const chosen = Object.entries(files).map(([name, content]) => ({
      name,
      mimeType: 'application/octet-stream',
      buffer: Buffer.from(content),
    }));
    const said = page.locator('.brought li');
    const before = await said.allTextContents();
    await page.getByLabel('Notebooks or zips to bring in').setInputFiles(chosen);
    await expect.poll(() => said.allTextContents(), { timeout: 20_000 }).not.toEqual(before);
    return said.allTextContents();
  }
  const open = async () => {
    await page.goto(`${site.address}?/sheet/${file}`);
    await cell(page, '2-1-work').getByRole('textbox').waitFor();
  };

  test('a sheet’s address begins it, once it is known whose it is; another address is told', async () => {
    await page.goto(`${site.address}?/sheet/${file}`);
    const number = page.getByLabel('Your student number');
    await number.fill('12');
    await number.press('Enter');
    await page.getByRole('alert').getByText('4 to 10 digits').waitFor();
    await number.fill('204117');
    await number.press('Enter');
    await cell(page, 'given').getByText('Student 204117').waitFor();
    await page.goto(`${site.address}?/sheet/03-two-slits.ipynb`);
    await cell(page, 'given').getByText('Student 204117').waitFor();
    await page.goto(`${site.address}?/sheet/unheard-of.ipynb`);
    await page.getByRole('alert').getByText('unheard-of.ipynb is not there').waitFor();
    expect(faults).toEqual([]);
  });

  test('a browser that asks its reader whether to keep copies, as Firefox does, holds nothing up', async () => {
    const own = await browser.newContext();
    const { page: other } = await newPage(own);
    await other.addInitScript(() => {
      navigator.storage.persist = () => new Promise(() => {});
    });
    await other.goto(site.address);
    const number = other.getByLabel('Your student number');
    await number.fill('204117');
    await number.press('Enter');
    await other.getByText('Student number 204117').waitFor();
    await own.close();
  });

  test('it is said what is in no file yet, and asked before the pages are left with it', async () => {
    await open();
    const fact = page.locator('[data-download]');
    expect(await fact.getAttribute('data-download')).toBe('blank');
    await page.goto('about:blank');
    expect(asked).toBe(0);
    await open();
    await type(page, '2-1-work', 'const firstDarkLine = 1;');
    await fact.getByText('not downloaded yet').waitFor();
    await saved(page);
    // To another place of the same pages, and on from there.
    await page.getByRole('link', { name: 'Worksheets', exact: true }).click();
    await page.getByText('Of one sheet something is in no file yet.').waitFor();
    expect(asked).toBe(0);
    await page.goto('about:blank');
    expect(asked).toBe(1);

    await open();
    const made = await downloaded('Download');
    expect(made.name).toBe(file);
    expect(
      sourceOf(readNotebook(strFromU8(made.bytes)).cells.find(({ id }) => id === '2-1-work')!),
    ).toBe('const firstDarkLine = 1;');
    await page.locator('[data-download="whole"]').waitFor();
    await page.goto('about:blank');
    expect(asked).toBe(1);
    await open();
    await type(page, '2-1-work', 'const firstDarkLine = 2;');
    await fact.getByText(/^not downloaded since \d\d:\d\d/).waitFor();
    await saved(page);
  });

  test.each([
    ['a picture', 'photo.ipynb', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 1]), 'It is a picture'],
    ['a text', 'notes.ipynb', 'My notes.', 'The file is not a notebook'],
    ['a part', 'part.ipynb', writeNotebook(originalOf(oneSlit)).slice(0, 900), 'cut off'],
    [
      'no sheet',
      'own.ipynb',
      '{"cells":[],"metadata":{},"nbformat":4,"nbformat_minor":5}',
      'no worksheet',
    ],
    [
      'another sheet',
      'a.ipynb',
      writeNotebook(originalOf('01-a-parallel-beam')),
      'another sheet, 01-a-parallel-beam',
    ],
    [
      'an empty zip',
      'empty.zip',
      zipSync({ 'a.txt': strToU8('a') }),
      'no notebook in this archive',
    ],
  ])('%s is not brought in, and it is said why', async (_, name, content, sentence) => {
    const [said] = await bring({ [name]: content });
    expect(said).toContain(name);
    expect(said).toContain(sentence);
    expect(await page.getByText('Other notebooks of yours').count()).toBe(0);
  });

  test('what is brought in takes the sheet’s place; what stood there is kept beside it', async () => {
    const theirs = writeNotebook(
      returnOf(oneSlit, '300007', { '2-1-work': 'const firstDarkLine = 77;' }),
    );
    const [said] = await bring({ '300007-02-one-slit (1).ipynb': theirs });
    expect(said).toMatch(/^One slit: Brought in from 300007-02-one-slit \(1\)\.ipynb\./);
    expect(said).toMatch(dated);
    expect(said).toContain('It has the student number 300007; here it is 204117.');
    expect(await bring({ [file]: theirs })).toEqual(['One slit: This is what is here already.']);
    await page.getByRole('link', { name: dated }).click();
    await cell(page, '2-1-work').getByText('const firstDarkLine = 2;').waitFor();
    await open();
    await cell(page, '2-1-work').getByText('const firstDarkLine = 77;').waitFor();
    // The file that it came from is there still: nothing is in no file until something is typed.
    const fact = page.locator('[data-download]');
    await fact.getByText(/^brought in \d\d:\d\d/).waitFor();
    await type(page, '2-1-work', 'const firstDarkLine = 78;');
    await fact.getByText(/^not downloaded since/).waitFor();
    await saved(page);
  });

  test('of another version the work is laid into the sheet that is here, and the file is kept', async () => {
    const old = returnOf(oneSlit, '204117', { '2-2-work': 'const bandWidth = 5;' });
    const cells = old.cells.map((one) =>
      tagOf(one)?.role === 'text' && tagOf(one)?.question === '2.3'
        ? { ...one, source: 'As it was asked last year.' }
        : one,
    );
    const [said] = await bring({ [file]: writeNotebook({ ...old, cells }) });
    expect(said).toContain('made from another version of this sheet (different: 2.3)');
    await open();
    await cell(page, '2-2-work').getByText('const bandWidth = 5;').waitFor();
    expect(await page.getByText('As it was asked last year.').count()).toBe(0);
  });

  test('an open tab takes in what another one brings', async () => {
    await open();
    const other = await newPage(context);
    await other.page.goto(site.address);
    const text = writeNotebook(returnOf(oneSlit, '204117', { '2-1-work': '// brought' }));
    const one = { name: file, mimeType: 'text/plain', buffer: Buffer.from(text) };
    await other.page.getByLabel('Notebooks or zips to bring in').setInputFiles([one]);
    await cell(page, '2-1-work').getByText('// brought').waitFor();
    await other.page.close();
  });

  test('what is said of files is found by everybody, at every size', async () => {
    const own = await browser.newContext({ bypassCSP: true });
    const { page: other } = await newPage(own);
    await other.goto(site.address);
    const one = {
      name: 'photo.ipynb',
      mimeType: 'image/png',
      buffer: Buffer.from([0x89, 80, 78, 71]),
    };
    await other.getByLabel('Notebooks or zips to bring in').setInputFiles([one]);
    await other.getByText('photo.ipynb: It is a picture').waitFor();
    for (const [width, height] of sizes) {
      await other.setViewportSize({ width, height });
      expect(await findings(other), `${width}`).toEqual([]);
      const wide = await other.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(width);
    }
    await own.close();
  });

  test('the zip of all sheets opens in a desk’s folder, and a desk’s folder opens here, byte for byte', async () => {
    const desk = new DeskProcess(join(folder, 'desk'));
    try {
      await page.goto(site.address);
      const { name, bytes } = await downloaded('Download all in one zip');
      expect(name).toMatch(/^worksheets-204117-\d{4}-\d\d-\d\d\.zip$/);
      const files = unzipSync(bytes);
      expect(Object.keys(files)).toEqual(
        expect.arrayContaining([file, '03-two-slits.ipynb', 'student.json']),
      );
      rmSync(desk.folder, { recursive: true, force: true });
      mkdirSync(desk.folder);
      for (const [path, content] of Object.entries(files))
        writeFileSync(join(desk.folder, path), content);

      await desk.start();
      const there = await newPage(context);
      await there.page.goto(desk.address);
      await there.page.getByText('Student number 204117').waitFor();
      await there.page.getByRole('button', { name: 'Go on with One slit' }).click();
      await cell(there.page, '2-1-work').getByText('// brought').waitFor();
      await type(there.page, '2-1-work', 'const firstDarkLine = 0.4;');
      await cell(there.page, '2-1-answer')
        .getByRole('button', { name: /^Check/ })
        .click();
      await cell(there.page, '2-1-answer').locator('.outputs').waitFor();
      await there.page.locator('[data-kernel="ready"]').waitFor();
      await saved(there.page);
      // A sheet that was never opened begins by its address on a desk, too.
      const { origin } = new URL(desk.address);
      await there.page.goto(`${origin}/sheet/04-three-and-four-slits.ipynb`);
      await cell(there.page, 'given').getByText('Student 204117').waitFor();
      await there.page.close();

      const ofDesk = readFileSync(join(desk.folder, file));
      const stranger = await browser.newContext({ acceptDownloads: true });
      page = (await newPage(stranger)).page;
      await page.goto(site.address);
      await bring({
        'multislit.zip': zipSync({
          'multislit/student.json': strToU8('{"student": "204117"}'),
          [`multislit/${file}`]: ofDesk,
        }),
      });
      await page.getByText('Student number 204117').waitFor();
      await open();
      await cell(page, '2-1-work').getByText('const firstDarkLine = 0.4;').waitFor();
      expect(strFromU8((await downloaded('Download')).bytes)).toBe(String(ofDesk));
      await press('Hand in …');
      const handedIn = await downloaded('Make the file as it is');
      expect(handedIn.name).toBe(`204117-${file}`);
      // A marker reads cells, and nothing of what a page notes beside them.
      const [ours, desks] = [strFromU8(handedIn.bytes), String(ofDesk)].map(readNotebook);
      expect(ours.cells).toEqual(desks.cells);
      expect(studentNumberOf(readNotebook(String(ofDesk)))).toBe('204117');
    } finally {
      await desk.remove();
    }
  });
});
