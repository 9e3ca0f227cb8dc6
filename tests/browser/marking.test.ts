import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { unzipSync } from 'fflate';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { handIn, modelReturn, oneSlit } from '../cli/class-for-test';
import { makeClass } from '../cli/made-up-class/make-class';
import { planClass } from '../cli/made-up-class/plan';
import type { ClassTruth } from '../cli/made-up-class/truth';
import { markingStage } from '../cli/marking-stage';
import { needs } from '../needs';
import { findings, sizes } from './find-faults';
import { DeskProcess, launchBrowser, newPage, skip as noBrowser } from './stage';

const skip = noBrowser || needs('bwrap').skip;

/** The same slip twice: the small angle in the place of its sine's inverse, in the form λ / a, left in radians. */
const slipped = { '2-1-work': 'const firstDarkLine = given.wavelength / given.width;' };
const evil = [
  'Light bends. <script>document.title = "broken in"</script>',
  '<img src="http://127.0.0.1:9/spy.png" onerror="document.title = \'broken in\'">',
  '![spy](http://127.0.0.1:9/spy.png) and $a = 3$.',
].join('\n\n');

describe.skipIf(skip)('the marking desk', () => {
  const { at, mark, text, rows } = markingStage('marking-desk-');
  const changedTable = () => readFileSync(at('marks', 'changed-marks.csv'), 'utf8');
  const desk = new DeskProcess(undefined, ['--marks', at('marks')]);
  let truth: ClassTruth;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let faults: string[];

  beforeAll(async () => {
    truth = makeClass(at('returns'), planClass([oneSlit], 6));
    handIn(at('returns'), '300999.ipynb', modelReturn(oneSlit, '300999', slipped));
    handIn(at('returns'), '300998.ipynb', modelReturn(oneSlit, '300998', { '2-9-written': evil }));
    handIn(at('returns'), 'lost.ipynb', modelReturn(oneSlit, '000000'));
    handIn(at('dropped'), '204117.ipynb', modelReturn(oneSlit, '204117', slipped));
    const numbers = truth.roster.map(({ student }) => `${student},`);
    const rest = ['204117,Mira Tarrow', '300999,', '300998,', '300997,Tom Okellin'];
    writeFileSync(at('roster.csv'), ['student,name', ...numbers, ...rest, ''].join('\n'));
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    // The page's policy lets no foreign script in, axe included.
    context = await browser.newContext({
      ...{ bypassCSP: true, acceptDownloads: true },
      viewport: { width: 1440, height: 900 },
    });
    ({ page, faults } = await newPage(context));
    await page.goto(desk.address);
  });
  afterAll(async () => {
    await browser?.close();
    await desk.remove();
  });

  const table = (on: Page = page) => on.getByRole('grid', { name: /Marks/ });
  const row = (student: string, on: Page = page) =>
    table(on).locator('tbody tr').filter({ hasText: student });
  /** The answer of a student to a question, in the table. */
  const cellOf = (student: string, question: string, on: Page = page) =>
    row(student, on).locator(`[aria-label^="${question}:"]`);
  const panel = (on: Page = page) => on.getByRole('complementary', { name: 'The answer' });

  async function open(student: string, question: string, on: Page = page): Promise<void> {
    await cellOf(student, question, on).click();
    await panel(on)
      .getByRole('heading', { name: new RegExp(`${student}.* · ${question.replace('.', '\\.')}`) })
      .waitFor();
    await panel(on).locator('.facts').waitFor();
  }

  async function set(marks: string, reason: string, on: Page = page): Promise<void> {
    await panel(on)
      .getByLabel(/^marks of/)
      .fill(marks);
    await panel(on).getByLabel('reason').fill(reason);
    await panel(on)
      .getByRole('button', { name: /^Change for/ })
      .click();
  }

  const place = (name: string) =>
    page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name }).click();
  const runBegins = () => page.locator('[data-run="running"]').waitFor();
  async function runEnds(how: string): Promise<void> {
    const ended = page.locator('[data-run]:not([data-run="running"])');
    await ended.waitFor({ timeout: 240_000 });
    expect([await ended.getAttribute('data-run'), await ended.textContent()]).toEqual([
      how,
      expect.any(String),
    ]);
  }

  test('from a folder of returns to marks: a file dropped, a run stopped and gone on with', async () => {
    await page.getByText(/is no folder on this computer/).waitFor();
    await page.getByRole('button', { name: 'Begin with what came in' }).click();
    await page.getByLabel(/^Folder or zip with the returns/).fill(at('returns'));
    await page.getByLabel('Files to be taken in').setInputFiles(at('dropped', '204117.ipynb'));
    await page.getByText('204117.ipynb was taken in.').waitFor();
    await page.getByLabel(/^roster/).fill(at('roster.csv'));
    await page.getByRole('button', { name: 'Run' }).click();
    await runBegins();
    await page.getByRole('button', { name: 'Stop' }).click();
    await runEnds('stopped');
    expect(existsSync(at('marks', 'class.json'))).toBe(false);
    await page.getByRole('button', { name: 'Go on' }).click();
    await runBegins();
    await runEnds('done');
    expect(await page.locator('.run .printed').textContent()).toMatch(/marked .*locked down/);
  });

  test('a file of nobody’s is given to a student, and the next run goes by it', async () => {
    const lost = page.getByRole('listitem').filter({ hasText: 'lost.ipynb' });
    await lost.getByText('unknown student').waitFor();
    await lost.getByRole('button', { name: /^Say whose it is/ }).click();
    await lost.getByLabel('student').fill('4711');
    await lost.getByLabel('reason').fill('Told me so in the long room.');
    await lost.getByRole('button', { name: 'It is this student’s' }).click();
    await lost.getByText('4711 is no student of the roster.').waitFor();
    await lost.getByLabel('student').fill('300997');
    await lost.getByRole('button', { name: 'It is this student’s' }).click();
    await lost.getByText('You said: of 300997.').waitFor();
    await page.getByRole('button', { name: 'Run' }).click();
    await runBegins();
    await runEnds('done');
    await place('Marks');
    await table().waitFor();
    expect(await row('300997').textContent()).toContain('Tom Okellin');
    expect(await cellOf('300997', '2.1').textContent()).not.toBe('–');
  });

  test('the front page has the door, and it leads to the folder that was given', async () => {
    const { page: front } = await newPage(context);
    await front.goto(`http://127.0.0.1:${desk.port}/`);
    await front.getByRole('link', { name: 'Marking' }).click();
    await table(front).waitFor();
    expect(await front.locator('.top .path').textContent()).toBe(at('marks'));
    await front.close();
  });

  test('each student stands there with the marks that the made-up class must have', async () => {
    expect(truth.returns.size).toBeGreaterThan(3);
    for (const { student, questions } of truth.returns.values())
      for (const [question, { state, marks, slip, follows }] of Object.entries(questions)) {
        const cell = cellOf(student, question);
        const told = `${student} ${question} ${await cell.textContent()}`;
        expect(told).toBe(`${student} ${question} ${state === 'to be read' ? 'read' : marks}`);
        const aloud = await cell.getAttribute('aria-label');
        if (slip !== undefined) expect(aloud).toContain(`slip: ${slip}`);
        if (follows !== undefined) expect(aloud).toContain(`follows from ${follows}`);
      }
  });

  test('a click shows working, verdict, slip and what was expected of this student', async () => {
    await open('204117', '2.1');
    const said = (await panel().textContent()) ?? '';
    expect(said).toContain(slipped['2-1-work']);
    expect(said).toMatch(/Not yet\./);
    expect(said).toMatch(/mark0 of 2/);
    // sin θ = λ / a for the first dark line of one slit; in degrees, to three digits.
    const ran = JSON.parse(text('records', oneSlit, '204117.json'));
    const radians = Number(ran.answers['2.1'].value);
    const degrees = ((Math.asin(radians) * 180) / Math.PI).toPrecision(3);
    expect(said).toMatch(new RegExp(`expected${degrees.replace('.', '\\.')}\\d*°`));
  });

  test('students’ text shows as text: no script runs and nothing is fetched', async () => {
    const asked: string[] = [];
    page.on('request', (one) => asked.push(one.url()));
    await open('300998', '2.9');
    const written = panel().locator('.written');
    await written.getByText('Light bends.').waitFor();
    await written.locator('.katex').waitFor();
    expect(await page.locator('.answer script, .answer [onerror]').count()).toBe(0);
    expect(asked.filter((url) => url.includes('spy'))).toEqual([]);
    expect(await page.title()).toBe('Marking');
  });

  test('everything by keyboard: search, arrows, Enter, a mark with its reason, Escape', async () => {
    await page.keyboard.press('Escape');
    await page.keyboard.press('/');
    await page.keyboard.type('300999');
    await expect.poll(() => table().locator('tbody tr').count()).toBe(1);
    await page.keyboard.press('Enter');
    await page.keyboard.press('Home');
    for (const key of ['ArrowRight', 'ArrowLeft', 'Enter']) await page.keyboard.press(key);
    await panel()
      .getByRole('heading', { name: /300999.* · 2\.1/ })
      .waitFor();
    const marks = panel().getByLabel(/^marks of 2/);
    await marks.waitFor();
    await expect.poll(() => marks.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('1,5');
    await page.keyboard.press('Enter');
    await panel().getByText('Give a reason').waitFor();
    await page.keyboard.press('Tab');
    await page.keyboard.type('In radians, and said so.');
    await page.keyboard.press('Enter');
    await expect.poll(() => cellOf('300999', '2.1').textContent()).toBe('1.5');
    expect(changedTable()).toContain(`300999,${oneSlit},2.1,1.5,"In radians, and said so."\n`);
    await page.keyboard.press('Escape');
    await panel().waitFor({ state: 'hidden' });
    await page.keyboard.press('/');
    await page.keyboard.press('Escape');
    await expect.poll(() => table().locator('tbody tr').count()).toBeGreaterThan(4);
  });

  test('undo gives the mark back to the marker, and the history keeps both', async () => {
    await page.getByRole('button', { name: 'Undo: 2.1 of 300999' }).click();
    await expect.poll(() => cellOf('300999', '2.1').textContent()).toBe('0');
    expect(changedTable().replace('\ufeff', '')).toBe('student,sheet,question,marks,reason\n');
    const history = rows('history.csv');
    expect(history.map((line) => [line.student, line.marks, line.undoes])).toEqual([
      ['300999', '1.5', ''],
      ['300999', '', '1'],
    ]);
  });

  test('those with the same slip are listed before anything is done to all', async () => {
    const alike = await table()
      .locator('tbody [aria-label^="2.1:"]')
      .evaluateAll(
        (cells, label) => cells.filter((one) => one.getAttribute('aria-label') === label).length,
        await cellOf('204117', '2.1').getAttribute('aria-label'),
      );
    expect(alike).toBeGreaterThan(1);
    await open('204117', '2.1');
    await panel()
      .getByRole('button', { name: `Same slip: ${alike} students` })
      .click();
    const list = panel().getByRole('group', { name: /Same slip/ });
    expect(await list.getByRole('checkbox').count()).toBe(alike - 1);
    expect(await list.textContent()).toContain('300999');
    expect(changedTable()).not.toContain('204117');
    await set('1', 'The small-angle way is sound.');
    for (const student of ['204117', '300999'])
      await expect.poll(() => cellOf(student, '2.1').textContent()).toBe('1');
    expect(await page.locator('main > .notice').textContent()).toContain(`${alike} marks were`);
  });

  test('two windows see each other’s changes, and neither loses one', async () => {
    const { page: other } = await newPage(context);
    await other.goto(`http://127.0.0.1:${desk.port}/marking`);
    await table(other).waitFor();
    await open('204117', '2.3');
    await open('204117', '2.4', other);
    await set('1', 'Here.');
    await expect.poll(() => cellOf('204117', '2.3', other).textContent()).toBe('1');
    await set('0.5', 'There.', other);
    await expect.poll(() => cellOf('204117', '2.4').textContent()).toBe('0.5');
    expect(await cellOf('204117', '2.3').textContent()).toBe('1');
    await other.close();
  });

  test('a table that a spreadsheet left wrong is told, and nothing is changed until it is mended', async () => {
    const before = changedTable();
    writeFileSync(at('marks', 'changed-marks.csv'), `${before}204117,${oneSlit},2.2,99,So.\n`);
    await page.reload();
    await page.getByText(/changed-marks\.csv: Line \d+ has "99" as marks/).waitFor();
    await open('204117', '2.5');
    await set('1', 'So.');
    await panel()
      .getByText(/has "99" as marks/)
      .waitFor();
    expect(changedTable()).toContain(',2.2,99,So.');
    writeFileSync(at('marks', 'changed-marks.csv'), before);
    await page.reload();
    await table().waitFor();
    await expect.poll(() => cellOf('204117', '2.4').textContent()).toBe('0.5');
  });

  test.each(sizes)('passes axe at %i × %i and scrolls one way only', async (width, height) => {
    await page.setViewportSize({ width, height });
    // The colours are the same at every size.
    const schemes = width === 1024 ? (['light', 'dark'] as const) : (['light'] as const);
    for (const colorScheme of schemes) {
      await page.emulateMedia({ colorScheme });
      await page.keyboard.press('Escape');
      expect([colorScheme, await findings(page)]).toEqual([colorScheme, []]);
      await open('204117', '2.1');
      expect([colorScheme, await findings(page)]).toEqual([colorScheme, []]);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(width);
      await page.getByRole('button', { name: 'Back to the table' }).click();
    }
    await page.emulateMedia({ colorScheme: 'light' });
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  test('the other places pass axe as well, and scroll one way only', async () => {
    for (const name of ['What came in', 'Going back']) {
      await place(name);
      await page.getByRole('heading', { level: 2 }).first().waitFor();
      for (const [width, height] of sizes) {
        await page.setViewportSize({ width, height });
        expect([name, width, await findings(page)]).toEqual([name, width, []]);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        expect([name, wide <= width]).toEqual([name, true]);
      }
    }
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  test('a table for elsewhere has the columns and words that were chosen, and the marks as they stand', async () => {
    await page.getByLabel('What the column student is called').fill('ID');
    await page.getByRole('checkbox', { name: 'total' }).uncheck();
    await page.getByRole('checkbox', { name: '2.3', exact: true }).check();
    await page.getByLabel('Name of this choice of columns').fill('Registry');
    await page.getByRole('button', { name: 'Keep this choice' }).click();
    await page.getByText('Kept as “Registry”.').waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the table' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('Registry.csv');
    const saved: Record<string, string>[] = parse(readFileSync(await download.path(), 'utf8'), {
      ...{ columns: true, bom: true },
    });
    expect(Object.keys(saved[0])).toEqual(['ID', 'name', oneSlit, '2.3']);
    const mira = saved.find((one) => one.ID === '204117');
    expect(mira).toMatchObject({ name: 'Mira Tarrow', '2.3': '1' });
    // Full marks of what a machine marks, but for what was wrong, and with what a person set since.
    await place('Marks');
    const shown = await row('204117').locator('td[data-column]').allTextContents();
    const sum = shown.reduce((all, one) => all + (Number(one) || 0), 0);
    expect(mira?.[oneSlit]).toBe(String(sum));
    const names = JSON.parse(text('exports.json')).map(({ name }: { name: string }) => name);
    expect(names).toEqual(['Registry']);
    expect(text('exports.json')).not.toContain('Tarrow');
  });

  test('each student’s page can be looked at, and all go into one zip named by the roster', async () => {
    await place('Going back');
    await page.getByLabel('look at').selectOption('204117');
    await page.locator('.student-page').getByText('Student 204117').waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Save all pages in one zip' }).click(),
    ]);
    const files = unzipSync(readFileSync(await download.path()));
    expect(Object.keys(files)).toContain('204117 Mira Tarrow.html');
    const page204117 = Buffer.from(files['204117 Mira Tarrow.html']).toString();
    expect(page204117).toBe(text('students', '204117.html'));
    const history = page.getByRole('region', { name: 'What people changed here' });
    expect(await history.textContent()).toContain('The small-angle way is sound.');
    expect(await history.textContent()).toContain('taken back: change 1');
    await place('Marks');
  });

  test('after a power cut every change stands, and the desk goes on', async () => {
    const before = changedTable();
    await desk.kill();
    await desk.start();
    await page.goto(desk.address);
    await table().waitFor();
    expect(await cellOf('204117', '2.3').textContent()).toBe('1');
    await open('204117', '2.6');
    await set('2', 'Seen in the figure.');
    await expect.poll(() => cellOf('204117', '2.6').textContent()).toBe('2');
    expect(changedTable().startsWith(before.trimEnd())).toBe(true);
    expect(existsSync(at('marks', 'changed-marks.csv.lock'))).toBe(false);
  });

  test('the command line goes on from there: the same marks, byte for byte, as with a table written by hand', async () => {
    const { code } = await mark();
    expect(code).toBe(0);
    // Somebody who never saw the page writes the same lines into the tables of a folder of his own, and marks all anew.
    mkdirSync(at('by command'));
    for (const name of ['owners.csv', 'changed-marks.csv'])
      cpSync(at('marks', name), at('by command', name));
    const again = await mark('--to', at('by command'), '--roster', at('roster.csv'));
    expect(again.code).toBe(0);
    const files = [
      ...['marks.csv', 'class.json', 'returns.csv'],
      ...readdirSync(at('marks', 'students'), { recursive: true, encoding: 'utf8' })
        .filter((name) => /\.(?:html|ipynb)$/.test(name))
        .map((name) => `students/${name}`),
    ];
    expect(files.length).toBeGreaterThan(10);
    for (const name of files)
      expect([name, text(name)]).toEqual([name, readFileSync(at('by command', name), 'utf8')]);
    expect(text('students', '204117.html')).toContain(
      'Changed by a person from 0 to 1: The small-angle way is sound.',
    );
    await page.reload();
    await table().waitFor();
    expect(await page.locator('main > .notice').count()).toBe(0);
    expect(await cellOf('204117', '2.1').textContent()).toBe('1');
    expect(faults.filter((one) => !/status of 40\d/.test(one))).toEqual([]);
  });
});
