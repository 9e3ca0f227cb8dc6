import { existsSync, readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { oneSlit } from '../cli/class-for-test';
import { eMail, folderToRead, type Writer } from '../marker/folder-to-read';
import { scratch } from '../scratch';
import { findings } from './find-faults';
import { DeskProcess, launchBrowser, newPage, skip } from './stage';

const copied = {
  '2-1-work': [
    'const lagOfHalfTheSlit = given.width * 0.5 * Math.sin(0.0123456);',
    'const firstDarkLine = degreesOf(Math.asin(lagOfHalfTheSlit / given.wavelength)) * 1.00731;',
    'const checkedByHand = firstDarkLine - lagOfHalfTheSlit * 73.1924;',
  ].join('\n'),
};
const evil =
  '<script>document.title = "broken in"</script><img src="http://127.0.0.1:9/spy.png" onerror="document.title = 1"> Light bends.';
const writers: Writer[] = Array.from({ length: 14 }, (_, i) => ({
  ...{ student: String(300_000 + 7 * i), name: `Ann${i} Wexley` },
  wrote: `My number is ${300_000 + 7 * i}, I am Wexley. Half the width makes **twice** the band, $\\sin\\theta=\\lambda/a$ (answer ${i}).`,
  slips: { ...(i < 5 ? { '2.1': 'radians' } : {}), ...(i % 2 === 0 ? { '2.2': 'one side' } : {}) },
  ...(i === 3 || i === 8 ? { cells: copied } : {}),
}));
writers[11] = { ...writers[11], wrote: evil };

describe.skipIf(skip)('marks read by people, and the class as a whole', () => {
  const { at } = scratch('marks-read-');
  const desk = new DeskProcess(undefined, ['--marks', at('marks')]);
  let folder: ReturnType<typeof folderToRead>;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let faults: string[];

  beforeAll(async () => {
    folder = folderToRead(at('marks'), writers);
    await folder.run(await folder.begin());
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    // The page's policy lets no foreign script in, axe included.
    context = await browser.newContext({ bypassCSP: true, viewport: { width: 1024, height: 768 } });
    ({ page, faults } = await newPage(context));
    await page.goto(desk.address);
    await page.getByRole('grid', { name: /Marks/ }).waitFor();
  });
  afterAll(async () => {
    await browser?.close();
    await desk.remove();
  });

  const log = (): Record<string, string>[] =>
    parse(readFileSync(at('marks', 'written', 'readings.csv')), { columns: true, bom: true });
  const table = (): Record<string, string>[] =>
    parse(readFileSync(at('marks', 'written', `${oneSlit}.csv`)), { columns: true, bom: true });
  const part = (name: string) =>
    page.getByRole('navigation', { name: 'Of the marks' }).getByRole('button', { name }).click();
  const line = (n: number) => page.locator('.strike [role="checkbox"]').nth(n);
  const count = () => page.locator('.to-read .count');
  const saved = (lines: number) =>
    expect
      .poll(() => (existsSync(at('marks', 'written', 'readings.csv')) ? log().length : 0))
      .toBe(lines);
  const answerIs = (n: number) =>
    count()
      .filter({ hasText: `Answer ${n} of` })
      .waitFor();
  const focusOn = (n: number) =>
    expect.poll(() => line(n).evaluate((one) => one === document.activeElement)).toBe(true);

  async function readAs(name: string): Promise<void> {
    // One field of the whole page: two would not follow each other.
    await page.getByLabel(/^your name/).fill(name);
    await page.keyboard.press('Enter');
    await page.getByText(`Read by ${name}.`).waitFor();
  }

  test('an answer is set with its formulas, without who wrote it, and nothing of it runs', async () => {
    const asked: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    const heard: string[] = [];
    page.on('response', async (answer) => {
      if (answer.url().includes('/reading/')) heard.push(await answer.text().catch(() => ''));
    });
    await part('Read written answers');
    await readAs('Orla Fennick');
    await page.locator('.answer-read .katex').waitFor();
    for (let n = 1; n < 14; n++) {
      await focusOn(0);
      await page.keyboard.press('ArrowRight');
      await answerIs(n + 1);
    }
    await expect.poll(() => heard.filter((text) => text.includes('"parts"')).length).toBe(14);
    for (const secret of [...writers.map(({ student }) => student), 'Wexley', eMail])
      expect([secret, heard.some((text) => text.includes(secret))]).toEqual([secret, false]);
    expect(await page.locator('.to-read script, .to-read [onerror]').count()).toBe(0);
    expect(asked.filter((url) => url.includes('spy.png'))).toEqual([]);
    expect(await page.title()).toBe('Marking');
    for (let n = 13; n > 0; n--) {
      await focusOn(0);
      await page.keyboard.press('ArrowLeft');
      await answerIs(n);
    }
  });

  test('read by keyboard alone: struck off, a remark, the next; each act is on the disk', async () => {
    await focusOn(0);
    await page.keyboard.press('Space');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Space');
    await saved(2);
    expect(log().map(({ by, ticks }) => [by, ticks])).toEqual([
      ['Orla Fennick', 'x 0 0 0'],
      ['Orla Fennick', 'x x 0 0'],
    ]);
    await page.keyboard.press('r');
    await page.keyboard.type('Say which colours remain.');
    await page.keyboard.press('Enter');
    await focusOn(0);
    await page.keyboard.press('Enter');
    await answerIs(2);
    await focusOn(0);
    // Nothing is struck off: Enter says that none of it is met.
    await page.keyboard.press('Enter');
    await answerIs(3);
    await focusOn(0);
    await page.keyboard.press('Space');
    await page.keyboard.press('r');
    await page.keyboard.type('remain');
    await page.getByRole('option', { name: 'Say which colours remain.' }).waitFor();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    await saved(6);
    const read = table().filter((row) => row['line 1'] !== '');
    expect(read.map((row) => [row['line 1'], row['line 2'], row.remark])).toEqual([
      ['x', 'x', 'Say which colours remain.'],
      ['0', '0', ''],
      ['x', '0', 'Say which colours remain.'],
    ]);
  });

  test('Ctrl+Z takes back one act after the other', async () => {
    await focusOn(0);
    await page.keyboard.press('ControlOrMeta+z');
    await saved(7);
    await expect.poll(() => page.getByLabel('remark to the student').inputValue()).toBe('');
    await page.keyboard.press('ControlOrMeta+z');
    await saved(8);
    await expect.poll(() => line(0).getAttribute('aria-checked')).toBe('false');
    expect(table().filter((row) => row['line 1'] !== '')).toHaveLength(2);
    await page
      .getByLabel('answers that')
      .locator('option', { hasText: 'you have read (2)' })
      .waitFor({ state: 'attached' });
  });

  test('a second reader is blind; the difference is listed and settled with a reason', async () => {
    await readAs('Jon Petrak');
    await page.getByLabel('answers that').selectOption('second');
    await answerIs(1);
    expect(await page.locator('.to-read').textContent()).toMatch(/of 2.*– of 4/s);
    expect(await page.getByLabel('remark to the student').inputValue()).toBe('');
    await focusOn(0);
    await page.keyboard.press('Space');
    await saved(9);
    expect(table().filter((row) => row['line 2'] === 'x')).toHaveLength(1);
    await page.getByLabel('answers that').selectOption('differ');
    const one = page.locator('.difference');
    await one.getByText('2, as Orla Fennick says').waitFor();
    await one.getByLabel('other marks of 4').fill('1,5');
    await one.getByRole('button', { name: 'Settle it' }).click();
    await one.getByText('Give a reason').waitFor();
    await one.getByLabel('reason').fill('Half of the numbers are there.');
    await one.getByRole('button', { name: 'Settle it' }).click();
    await one.getByText(/Settled by Jon Petrak: 1\.5 of 4\. Half of the numbers/).waitFor();
    expect(table().filter(({ points }) => points === '1.5')).toHaveLength(1);
  });

  test('the marks have it at once, and the next run as well', async () => {
    await part('Table');
    const cells = page.getByRole('grid', { name: /Marks/ }).locator('[aria-label^="2.9:"]');
    await expect
      .poll(async () => (await cells.allTextContents()).filter((text) => text !== 'read').sort())
      .toEqual(['0', '1.5']);
    const given = await folder.run(await folder.begin());
    expect(
      given.flatMap(({ state, marks }) => (state === 'to be read' ? [] : marks)).sort(),
    ).toEqual([0, 1.5]);
  });

  test('a bar of the class leads to its answers', async () => {
    await part('The class as a whole');
    await page.getByRole('button', { name: '2.1, no marks: 5 students' }).click();
    await page.locator('.count').getByText('5 of 14 students: no marks for 2.1').waitFor();
    await part('The class as a whole');
    await page.getByRole('button', { name: /^about 2\.0 × expected in 2\.2: 7 students/ }).click();
    await page
      .locator('.count')
      .getByText(/7 of 14 students: about 2\.0 × expected/)
      .waitFor();
    await page.getByRole('button', { name: 'Show all' }).click();
    await page
      .locator('.count')
      .getByText(/^14 students/)
      .waitFor();
  });

  test('two returns that are alike stand side by side, with what is the same marked', async () => {
    await part('The class as a whole');
    const group = page.locator('.groups li').filter({ hasText: '300021' });
    await group.getByText(/lagOfHalfTheSlit/).waitFor();
    await group.getByRole('button', { name: 'Side by side' }).click();
    const marks = group.locator('.side mark');
    await marks.first().waitFor();
    expect(await marks.first().textContent()).toContain('const lagOfHalfTheSlit');
    expect(await group.locator('.side').first().textContent()).toMatch(
      /300021.*: \d+ of \d+ words/s,
    );
  });

  test('what is worth a word is projected in large letters, without a name or a number of anybody', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await page.getByRole('button', { name: /^Project these/ }).click();
    const shown = page.getByRole('dialog');
    await shown.getByRole('heading', { name: 'The first dark line' }).waitFor();
    expect(await shown.locator('.went').count()).toBe(0);
    await page.keyboard.press('ArrowRight');
    await shown.getByText('“radians”').waitFor();
    const small = await shown.evaluate((dialog) => {
      const found: string[] = [];
      const walk = document.createTreeWalker(dialog, NodeFilter.SHOW_TEXT);
      while (walk.nextNode()) {
        const { parentElement: parent, textContent: text } = walk.currentNode;
        // Sub- and superscripts of formulas are small by their nature.
        if (!parent || text?.trim() === '' || parent.closest('.katex')) continue;
        if (Number.parseFloat(getComputedStyle(parent).fontSize) < 24) found.push(text ?? '');
      }
      return found;
    });
    expect(small).toEqual([]);
    const said = (await shown.textContent()) ?? '';
    for (const { student, name } of writers)
      expect([said.includes(student), said.includes(name)]).toEqual([false, false]);
    expect(said).not.toContain('4.711');
    expect(await findings(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await shown.waitFor({ state: 'hidden' });
  });

  test.each([
    [390, 844],
    [1024, 768],
    [1920, 1080],
  ])('passes axe at %i × %i and scrolls one way only', async (width, height) => {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme: width === 1024 ? 'dark' : 'light' });
    for (const [name, there] of [
      ['The class as a whole', '.ratios'],
      ['Read written answers', '.strike'],
    ]) {
      await part(name);
      await page.locator(there).waitFor();
      expect([name, await findings(page)]).toEqual([name, []]);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect([name, wide]).toEqual([name, width]);
    }
    await page.emulateMedia({ colorScheme: 'light' });
    expect(faults.filter((one) => !/status of 40\d/.test(one))).toEqual([]);
  });
});
