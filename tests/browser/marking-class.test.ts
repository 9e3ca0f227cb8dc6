import { execFileSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { unzipSync } from 'fflate';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { handIn, modelReturn, oneSlit, returnOf } from '../cli/class-for-test';
import { markingStage } from '../cli/marking-stage';
import { needs } from '../needs';
import { findings, sizes } from './find-faults';
import { DeskProcess, launchBrowser, newPage, skip as noBrowser } from './stage';

const skip = noBrowser || needs('bwrap').skip;
const due = Date.parse('2026-10-20T12:00:00Z') / 1000;

describe.skipIf(skip)('a class on the marking desk', () => {
  const { at, mark, text } = markingStage('marking-class-');
  const desk = new DeskProcess(undefined, ['--marks', at('marks')]);
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let faults: string[];

  const put = (folder: string, name: string, student: string, hours: number) =>
    utimesSync(handIn(at(folder), name, modelReturn(oneSlit, student)), due, due + 3600 * hours);

  beforeAll(async () => {
    put('dropped', 'bench/204117.ipynb', '204117', -3);
    put('dropped', 'bench/300007+300014.ipynb', '300007', 20);
    handIn(at('dropped'), 'bench/deeper/lost.ipynb', returnOf(oneSlit, '000000'));
    const people = ['204117;Mira Tarrow;mira@alderbeck.example', '300007;Tom Okellin;'];
    const list = ['Kennzahl;Wer;Post', ...people, '300014;Ada Fell;'];
    writeFileSync(at('list.csv'), `${list.join('\n')}\n`);
    writeFileSync(at('twice.csv'), 'student\n204117\n300007\n204117\n');
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    context = await browser.newContext({
      ...{ bypassCSP: true, acceptDownloads: true },
      viewport: { width: 1440, height: 900 },
    });
    ({ page, faults } = await newPage(context));
    await page.goto(desk.address);
    await page.getByRole('button', { name: 'Begin with what came in' }).click();
    await page.getByRole('heading', { name: /^The class/ }).waitFor();
  });
  afterAll(async () => {
    await browser?.close();
    await desk.remove();
  });

  const place = (name: string) =>
    page.getByRole('navigation', { name: 'Places' }).getByRole('button', { name }).click();
  const kept = () => JSON.parse(text('settings.json'));
  const file = (path: string) =>
    page.getByRole('region', { name: 'Files' }).getByRole('listitem').filter({ hasText: path });
  const wide = () => page.evaluate(() => document.documentElement.scrollWidth);

  test('a list whose columns are not recognised is kept once they are said', async () => {
    await page.getByLabel('A roster to be taken in').setInputFiles(at('list.csv'));
    await page.getByText(/has the columns Kennzahl, Wer, Post; one named "student"/).waitFor();
    expect(existsSync(at('marks', 'roster.csv'))).toBe(false);
    await page
      .getByRole('combobox', { name: 'student number', exact: true })
      .selectOption('Kennzahl');
    await page.getByText(/^3 students, from/).waitFor();
    await page.getByRole('combobox', { name: 'name', exact: true }).selectOption('Wer');
    await page.getByRole('combobox', { name: 'e-mail', exact: true }).selectOption('Post');
    await page.getByRole('button', { name: 'Keep these settings' }).click();
    await page.getByText('Not kept yet').waitFor({ state: 'hidden' });
    expect(kept().rosterColumns).toEqual({ student: 'Kennzahl', name: 'Wer', email: 'Post' });
    expect(readFileSync(at('marks', 'roster.csv'))).toEqual(readFileSync(at('list.csv')));
  });

  test('a list with two equal numbers is told by its lines, and the one that was there stays', async () => {
    await page.getByLabel('A roster to be taken in').setInputFiles(at('twice.csv'));
    await page.getByText('Line 4 of the roster repeats 204117, after line 2').waitFor();
    expect(readFileSync(at('marks', 'roster.csv'))).toEqual(readFileSync(at('list.csv')));
    expect(kept().roster.rows).toHaveLength(3);
  });

  test('two windows that set something at once both keep it', async () => {
    const send = (what: string, body: unknown) =>
      page.evaluate(
        async ([address, text]) => {
          const headers = { 'Content-Type': 'application/json' };
          return (await fetch(address, { method: 'POST', headers, body: text })).status;
        },
        [
          `/marking/ask/${what}?folder=${encodeURIComponent(at('marks'))}`,
          JSON.stringify(body),
        ] as const,
      );
    const line = { sheet: '', days: 1, reason: 'Both at once' };
    const all = await Promise.all([
      send('class', { late: 25 }),
      send('class', { count: 'best' }),
      ...['204117', '300007'].map((student) => send('days', { ...line, student })),
    ]);
    expect(all).toEqual([200, 200, 200, 200]);
    expect(kept()).toMatchObject({ late: 25, count: 'best' });
    expect(text('extra-days.csv').match(/Both at once/g)).toHaveLength(2);
    for (const student of ['204117', '300007'])
      expect(await send('days', { ...line, student, days: null })).toBe(200);
  });

  test('the rule is told in a sentence before it is kept', async () => {
    await page.getByLabel('deadline: day').fill('2026-10-20');
    await page.getByLabel(/^deadline: clock/).fill('12:00');
    await page.getByLabel('time zone').fill('UTC');
    await page.getByLabel(/^each started day costs/).fill('20');
    // 20 October 2026 is a Tuesday: 45 days before Friday, 4 December.
    await page
      .getByText(
        'Handed in by Tuesday 2026-10-20 12:00 (UTC): all marks count. Handed in Tuesday 2026-10-20 22:00: 20 % off. Handed in Wednesday 2026-10-21 22:00: 40 % off.',
      )
      .waitFor();
    await page.getByRole('button', { name: 'A round to hand in again' }).click();
    await page.getByText('A round needs a day').waitFor();
    await page.getByLabel('round 2 until: day').fill('2026-10-27');
    await page.getByText(/Again by the end of Tuesday 2026-10-27: at most 80 %/).waitFor();
    await page.getByLabel(/are a group/).check();
    await page.getByLabel(/deduct also/).check();
    await page.getByLabel(/model answers/).selectOption('after');
    for (const title of await page
      .getByRole('group', { name: 'Sheets that are marked' })
      .getByRole('checkbox')
      .all())
      if (!(await title.evaluate((one) => one.parentElement?.textContent?.includes('One slit'))))
        await title.uncheck();
    await page.getByRole('button', { name: 'Keep these settings' }).click();
    await page.getByText('Not kept yet').waitFor({ state: 'hidden' });
    expect(kept()).toMatchObject({
      ...{ deadline: '2026-10-20T12:00', zone: 'UTC', late: 20, again: ['2026-10-27=80'] },
      ...{ groups: true, solutions: 'after', sheets: [oneSlit], count: 'best' },
    });
  });

  test('a folder that is dropped is listed at once, each file with owner, sheet, time and its source', async () => {
    const target = page.getByText('Drop files, zips or folders here');
    const box = (await target.boundingBox())!;
    const cdp = await context.newCDPSession(page);
    const data = { items: [], files: [at('dropped', 'bench')], dragOperationsMask: 1 };
    for (const type of ['dragEnter', 'dragOver', 'drop'] as const)
      await cdp.send('Input.dispatchDragEvent', { type, data, x: box.x + 8, y: box.y + 8 });
    await file('bench/204117.ipynb').getByText('to be marked').waitFor();
    const said = await file('bench/204117.ipynb').textContent();
    expect(said).toContain(`of 204117 · ${oneSlit} · 2026-10-20T09:00+00:00 (by the file)`);
    await file('bench/deeper/lost.ipynb').getByText('unknown student').waitFor();
    await file('300007+300014.ipynb (also of 300014)').getByText('of 300014 ·').waitFor();
    expect(existsSync(at('marks', 'class.json'))).toBe(false);
    expect(existsSync(at('returns', 'bench', '204117.ipynb'))).toBe(true);
  });

  test('days are granted with a reason, and can be taken back', async () => {
    await page.getByText('The class: roster, deadline, lateness').click();
    const summary = page.getByRole('button', { name: 'Grant' });
    if (!(await summary.isVisible()))
      await page.getByText('The class: roster, deadline, lateness').click();
    await page.getByLabel('student, or empty for all').fill('999999');
    await page.getByLabel('days', { exact: true }).fill('2');
    await page.getByLabel('reason for the days').fill('Ill');
    await summary.click();
    await page.getByText('"999999" as student, who is not in the roster').waitFor();
    await page.getByLabel('student, or empty for all').fill('300014');
    await summary.click();
    await page.getByText('300014, all sheets: 2 days. Ill').waitFor();
    expect(text('extra-days.csv')).toContain('300014,,2,Ill\n');
  });

  test('a folder that is watched shows what others put there, and waits when it is gone', async () => {
    await page.getByLabel('watch that folder for more').check();
    copyFileSync(at('dropped', 'bench', '204117.ipynb'), at('returns', '204117 more.ipynb'));
    await file('204117 more.ipynb').waitFor();
    renameSync(at('returns'), at('away'));
    await page.getByText(/is not there\. What is marked stays/).waitFor();
    renameSync(at('away'), at('returns'));
    await page.getByText(/is not there\. What is marked stays/).waitFor({ state: 'hidden' });
    await page.getByLabel('watch that folder for more').uncheck();
  });

  test('it is marked, and the command line gives the same by the same settings, byte for byte', async () => {
    await page.getByRole('button', { name: 'Run' }).click();
    await page.locator('[data-run="running"]').waitFor();
    const ended = page.locator('[data-run]:not([data-run="running"])');
    await ended.waitFor();
    expect([await ended.getAttribute('data-run'), await ended.textContent()]).toEqual([
      'done',
      expect.any(String),
    ]);
    mkdirSync(at('by command'));
    copyFileSync(at('marks', 'extra-days.csv'), at('by command', 'extra-days.csv'));
    const words = [
      ...['--to', at('by command'), '--roster', at('list.csv'), '--sheet', oneSlit],
      ...['--roster-columns', 'student=Kennzahl', 'name=Wer', 'email=Post'],
      ...['--deadline', '2026-10-20T12:00', '--zone', 'UTC', '--late', '20', '--believe-times'],
      ...['--again', '2026-10-27=80', '--groups', '--solutions', 'after'],
    ];
    expect((await mark(...words)).code).toBe(0);
    const files = [
      ...['marks.csv', 'class.json', 'returns.csv', 'students/300014.html'],
      `students/300014/model answers/${oneSlit}.ipynb`,
    ];
    for (const name of files)
      expect([name, text(name)]).toEqual([name, readFileSync(at('by command', name), 'utf8')]);
    // Twenty hours late is within the two days that one of the group was granted.
    const [head, mira, tom, ada] = text('marks.csv').split('\n');
    expect(head).toContain(oneSlit);
    const marksIn = (line: string) => Number(line.split(',')[1]);
    expect(marksIn(ada)).toBe(marksIn(mira));
    expect(marksIn(tom)).toBeLessThan(marksIn(ada));
  });

  test('another system’s table comes back with marks in it and every other byte as it was', async () => {
    await place('Going back');
    const table =
      '\ufeff"Nr";"Name, Vorname";"One slit [10]"\r\n"204117";"Tarrow, Mira";\r\n"9";;"x"\r\n';
    const input = { name: 'grades.csv', mimeType: 'text/csv', buffer: Buffer.from(table) };
    await page.getByLabel('A table to be filled').setInputFiles(input);
    await page.getByText('1 cell of grades.csv gets marks.').waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the filled table' }).click(),
    ]);
    const saved = readFileSync(await download.path(), 'utf8');
    const mira = Number(/"Tarrow, Mira";([\d,]+)\r/.exec(saved)?.[1].replace(',', '.'));
    expect(saved.replace(/;[\d,]+\r/, ';\r')).toBe(table);
    const { marks, outOf } = JSON.parse(text('class.json')).students[0].sheets[0];
    expect(mira).toBeCloseTo((10 * marks) / outOf, 2);
    await page.getByLabel('Name of this way of filling').fill('Office');
    await page.getByRole('button', { name: 'Keep this way' }).click();
    await page.getByText('Kept as “Office”').waitFor();
  });

  test('a table for letters has addresses and the names of the files in the zip', async () => {
    await page.getByRole('button', { name: /^Letters/ }).click();
    const [table] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the table' }).click(),
    ]);
    const lines = readFileSync(await table.path(), 'utf8')
      .replace('\ufeff', '')
      .split('\n');
    expect(lines[0]).toBe('address,name,marks,out of,remark,file');
    expect(lines[1]).toMatch(/^mira@alderbeck\.example,Mira Tarrow,.*,204117 Mira Tarrow\.html$/);
    const [zip] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Save all pages in one zip' }).click(),
    ]);
    expect(Object.keys(unzipSync(readFileSync(await zip.path())))).toEqual(
      expect.arrayContaining([
        '204117 Mira Tarrow.html',
        `204117 Mira Tarrow model answers/${oneSlit}.ipynb`,
      ]),
    );
    await page.getByLabel('look at').selectOption('204117');
    await page.locator('.student-page summary').getByText('A model answer').first().click();
    await page
      .locator('.student-page')
      .getByText(/^Expected: /)
      .first()
      .waitFor();
  });

  test('a change has the name that was typed, and a batch is taken back as one', async () => {
    await page.getByLabel(/^your name/).fill('Orla Fennick');
    await place('Marks');
    const cell = page.getByRole('grid', { name: /Marks/ }).locator('[aria-label^="2.1:"]').first();
    await cell.click();
    const panel = page.getByRole('complementary', { name: 'The answer' });
    await panel.getByLabel(/^marks of/).fill('1');
    await panel.getByLabel('reason').fill('Only half of it.');
    await panel.getByRole('button', { name: /^Change for/ }).click();
    await expect.poll(() => cell.textContent()).toBe('1');
    await place('Going back');
    const history = page.getByRole('region', { name: 'What people changed here' });
    await history.getByText('Orla Fennick').waitFor();
    await history.getByRole('button', { name: /^Take back/ }).click();
    await history.getByText('taken back: change 1').waitFor();
    expect(text('changed-marks.csv')).not.toContain('Only half');
  });

  test('last year’s class is laid beside this one', async () => {
    await page.getByLabel('Folder of the other class’s marks').fill(at('nowhere'));
    await page.getByRole('button', { name: 'Compare' }).click();
    await page.getByText('nowhere is no folder on this computer.').waitFor();
    await page.getByLabel('Folder of the other class’s marks').fill(at('by command'));
    await page.getByRole('button', { name: 'Compare' }).click();
    const both = page.getByRole('region', { name: 'Both classes' });
    await both.waitFor();
    expect(await both.getByRole('row').nth(1).textContent()).toContain('+0 ');
  });

  test.each(['What came in', 'Going back'])(
    '%s passes axe at the least and the largest width and scrolls one way only',
    async (name) => {
      await place(name);
      await page.getByRole('heading', { level: 2 }).first().waitFor();
      for (const shut of await page.locator('main .came-in details:not([open]) > summary').all())
        await shut.click();
      for (const [width, height] of [sizes.at(-1)!, [1920, 1080]]) {
        await page.setViewportSize({ width, height });
        expect([name, width, await findings(page)]).toEqual([name, width, []]);
        expect([name, width, (await wide()) <= width]).toEqual([name, width, true]);
      }
      await page.setViewportSize({ width: 1440, height: 900 });
    },
  );

  test('on a full disk a change is refused in a sentence, and all that stood there stands', async () => {
    const before = ['changed-marks.csv', 'history.csv', 'class.json'].map((name) => text(name));
    const size = Math.max(before[1].length - 10, 1);
    execFileSync('prlimit', [`--fsize=${size}:`, '--pid', String(desk.pid)]);
    await place('Marks');
    await page.getByRole('grid', { name: /Marks/ }).locator('[aria-label^="2.1:"]').first().click();
    const panel = page.getByRole('complementary', { name: 'The answer' });
    await panel.getByLabel(/^marks of/).fill('1');
    await panel.getByLabel('reason').fill('Only half of it.');
    await panel.getByRole('button', { name: /^Change for/ }).click();
    await panel
      .getByText(/cannot be written: the disk takes no more of it\. Nothing was changed/)
      .waitFor();
    execFileSync('prlimit', ['--fsize=unlimited:', '--pid', String(desk.pid)]);
    expect(['changed-marks.csv', 'history.csv', 'class.json'].map((name) => text(name))).toEqual(
      before,
    );
    await panel.getByRole('button', { name: /^Change for/ }).click();
    await expect.poll(() => text('changed-marks.csv')).toContain('Only half of it.');
    expect(faults.filter((one) => !/status of (?:40\d|500)/.test(one))).toEqual([]);
  });
});
