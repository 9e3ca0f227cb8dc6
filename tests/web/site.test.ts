import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { findKey, sheetNames } from '../../kernel-lib/kernel/sheets';
import { codeCells, type Output, studentNumberOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { cell, launchBrowser, newPage, openSheet, run, saved, skip, type } from '../browser/stage';
import { machineMarks, oneSlit } from '../cli/class-for-test';
import { multislit } from '../cli/multislit';
import { needs } from '../needs';
import { everyText, leaks } from './every-text';
import { type SiteForTest, siteForTest } from './site-for-test';

let site: SiteForTest;
beforeAll(async () => {
  site = await siteForTest();
});
afterAll(() => site.remove());

describe('the files of a site', () => {
  test.each([[[]], [['--to', 'one', '--web', 'two']]])(
    'where it goes is said once: %j',
    async (args) => {
      const { code, err } = await multislit(['hand-out', ...args]);
      expect([code, err]).toEqual([2, expect.stringContaining('--web FOLDER for a web site')]);
    },
  );

  const html = () => [...site.files].filter(([path]) => path.endsWith('.html'));

  test('pages hold no script, no style and no absolute address of their own', () => {
    expect(
      html()
        .map(([path]) => path)
        .sort(),
    ).toEqual(['index.html', site.part('page/runner.html')]);
    for (const [, bytes] of html()) {
      const text = bytes.toString();
      expect(text).toMatch(/http-equiv="Content-Security-Policy" content="default-src 'none';/);
      expect(
        text.match(
          /<script(?![^>]* src="page\/\w+-[0-9a-f]{10}\.js"><\/script>)|<style|\son\w+=|\sstyle=/g,
        ),
      ).toBeNull();
      expect(text.match(/(?:src|href)="(?:\/|https?:)/g)).toBeNull();
    }
  });

  test('text is evaluated where cells run and nowhere else, and no script stands in a page', () => {
    for (const [path, bytes] of html()) {
      const [, policy] = /Content-Security-Policy" content="([^"]*)"/.exec(bytes.toString())!;
      const scripts = /script-src ([^;]*)/.exec(policy)?.[1].split(' ') ?? [];
      const isRunner = path === site.part('page/runner.html');
      expect([path, scripts.includes("'unsafe-eval'")]).toEqual([path, isRunner]);
      for (const source of scripts)
        expect(source).toMatch(isRunner ? /^('unsafe-eval'|blob:|'sha256-[^']+')$/ : /^'self'$/);
    }
  });

  test('every sheet is there, as it is handed out; every name is one that any server knows', () => {
    const listed = JSON.parse(String(site.files.get(site.part('sheets.json')))) as {
      name: string;
    }[];
    expect(listed.map(({ name }) => name)).toEqual(sheetNames());
    for (const name of sheetNames()) {
      const notebook = readNotebook(String(site.files.get(site.part(`sheets/${name}.json`))));
      expect(studentNumberOf(notebook)).toBe('000000');
      expect(codeCells(notebook).flatMap(({ outputs }) => outputs)).toEqual([]);
      expect(site.files.has(site.part(`sheets/${name}.js`))).toBe(true);
    }
    const odd = [...site.files.keys()].filter(
      (path) =>
        !/^[\w./-]+\.(?:html|js|css|json|txt|png|svg|woff2?|ttf)$/.test(path) || /key/i.test(path),
    );
    expect(odd).toEqual([]);
  });

  test('nothing of any key stands in any byte of any file', () => {
    expect(leaks(site.files)).toEqual([]);
    // Each font says its name, and so was read.
    const fonts = [...site.files].filter(([path]) => /KaTeX.*\.(?:woff2?|ttf)$/.test(path));
    expect(fonts.length).toBeGreaterThan(10);
    for (const [path, bytes] of fonts)
      expect([path, everyText(path, bytes).some(({ text }) => text.includes('KaTeX_'))]).toEqual([
        path,
        true,
      ]);
  });
});

describe.skipIf(skip)('nothing but a browser', () => {
  let browser: Browser;
  let context: BrowserContext;
  const folder = mkdtempSync(join(tmpdir(), 'handed-in-'));
  const handedIn = join(folder, 'returns', `204117-${oneSlit}.ipynb`);
  const model = findKey(oneSlit)?.model ?? {};

  beforeAll(async () => {
    browser = await launchBrowser();
    context = await browser.newContext({
      viewport: { width: 1280, height: 900 },
      acceptDownloads: true,
    });
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true });
  });

  const bar = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
  /** What the browser's database holds of the sheet; where a text is given, that from now on. */
  const kept = (page: Page, text?: string): Promise<string> =>
    page.evaluate(
      (put) =>
        new Promise((done) => {
          const opening = indexedDB.open('multislit /courses/optics%20II/');
          opening.onsuccess = () => {
            const texts = opening.result.transaction('texts', 'readwrite').objectStore('texts');
            const name = '02-one-slit.ipynb';
            if (put !== undefined) texts.put({ text: put, version: 'another' }, name);
            const reading = texts.get(name);
            reading.onsuccess = () => done(reading.result.text);
          };
        }),
      text,
    );
  /** Nothing else gets at the texts until what comes back is called. */
  const holdDisk = (page: Page) =>
    page.evaluateHandle(
      () =>
        new Promise<() => void>((done) => {
          const opening = indexedDB.open('multislit /courses/optics%20II/');
          opening.onsuccess = () => {
            let isHeld = true;
            const texts = opening.result.transaction('texts', 'readwrite').objectStore('texts');
            const hold = () => {
              if (isHeld) texts.count().onsuccess = hold;
              else opening.result.close();
            };
            texts.count().onsuccess = () => {
              hold();
              done(() => {
                isHeld = false;
              });
            };
          };
        }),
    );
  const whole = (page: Page, id: string) => cell(page, id).locator('.outputs').textContent();

  test('a number is asked for once, and a bad one is told', async () => {
    const { page, faults } = await newPage(context);
    await page.goto(site.address);
    await page.getByLabel('Your student number').fill('12 ab');
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.getByRole('alert').getByText('4 to 10 digits').waitFor();
    await openSheet(page, site);
    expect(new URL(page.url()).search).toBe('?/sheet/02-one-slit.ipynb');
    await cell(page, 'given').getByText('Student 204117').waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test('model answers earn their marks, and the outputs are those of the kernel on Node', async () => {
    const { page, faults } = await newPage(context);
    await openSheet(page, site);
    for (const [id, source] of Object.entries(model)) {
      if (id.endsWith('-written'))
        await page.getByLabel('Your answer to question 2.9').fill(source);
      else await type(page, id, source);
    }
    // What ran by itself when the sheet was opened is counted; begin as Node does.
    await bar(page, 'Restart').click();
    await bar(page, 'Run from the top').click();
    await cell(page, '2-8-answer').locator('.outputs').waitFor();
    await page.locator('[data-kernel="ready"]').waitFor();
    await saved(page);
    // Still pictures need no plotting code; the page asks for it when a figure is to be zoomed. What the service
    // worker keeps for the train comes on its own account.
    for (const one of await page.locator('figure.plot').all()) await one.scrollIntoViewIfNeeded();
    const plotting = () =>
      page.evaluate(() =>
        performance.getEntriesByType('resource').filter(({ name }) => /plotly/.test(name)),
      );
    expect(await plotting()).toEqual([]);
    const figure = cell(page, 'given').locator('figure.plot').first();
    await figure.getByRole('button', { name: /^Zoom or read off/ }).click();
    await figure.locator('.main-svg').first().waitFor({ state: 'visible' });
    expect(await plotting()).toHaveLength(1);
    await bar(page, 'Hand in …').click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: /^Make the file/ }).click(),
    ]);
    expect(download.suggestedFilename()).toBe(`204117-${oneSlit}.ipynb`);
    mkdirSync(join(folder, 'returns'));
    writeFileSync(handedIn, readFileSync(await download.path()));
    expect(faults).toEqual([]);
    await page.close();

    // The same notebook, run by the kernel on Node, is what to compare with.
    const onNode = join(folder, 'node.ipynb');
    expect((await multislit(['run', handedIn, '--to', onNode])).code).toBe(0);
    const [here, there] = [handedIn, onNode].map((path) =>
      codeCells(readNotebook(readFileSync(path, 'utf8'))),
    );
    // The page keeps a digest of the working in a verdict's metadata; what is shown is compared.
    const shown = (outputs: readonly Output[]) =>
      outputs.map((one) => ('metadata' in one ? { ...one, metadata: {} } : one));
    expect(here).toHaveLength(there.length);
    for (const [n, { id, outputs, execution_count }] of here.entries()) {
      expect(shown(outputs), id).toEqual(shown(there[n].outputs));
      expect([id, execution_count]).toEqual([id, there[n].execution_count]);
    }
    expect(here.flatMap(({ outputs }) => outputs).length).toBeGreaterThan(here.length / 2);
  });

  test.skipIf(needs('bwrap').skip)('the file is marked, in full', async () => {
    const to = join(folder, 'marks');
    const returns = join(folder, 'returns');
    expect((await multislit(['mark', returns, '--to', to, '--sheet', oneSlit])).code).toBe(0);
    const text = readFileSync(join(to, 'marks.csv'), 'utf8');
    const [row]: Record<string, string>[] = parse(text, { columns: true, bom: true });
    expect([row.student, Number(row[oneSlit])]).toEqual(['204117', machineMarks(oneSlit)]);
  });

  test('a reload brings all back; an error names its line; Stop keeps variables', async () => {
    const { page, faults } = await newPage(context);
    await openSheet(page, site);
    await cell(page, '2-1-answer').getByText('Agrees.').waitFor();
    await expect
      .poll(() => cell(page, '2-1-work').getByRole('textbox').textContent())
      .toBe(model['2-1-work'].replaceAll('\n', ''));

    await type(
      page,
      '2-2-work',
      'const bandWidth = 1;\n\nthrow new RangeError("too " + bandWidth);',
    );
    await run(page, '2-2-work');
    expect(await whole(page, '2-2-work')).toContain('Error in line 3. RangeError: too 1');

    const id = '2-4-work';
    for (const [source, sentence, kept] of [
      [
        'let n = 0;\nconsole.log("begun");\nwhile (true) n += 1;',
        'Variables keep the values',
        'n > 9',
      ],
      // No loop of the cell's own: nothing in it asks whether it is to stop.
      [
        'console.log("begun");\n/^(a+)+$/.test("a".repeat(40) + "b");',
        'have their values back',
        'bandWidth === 1',
      ],
    ]) {
      await type(page, id, source);
      await cell(page, id).getByRole('button', { name: /^Run/ }).click();
      // Of this run: what the one before it showed stays until something new comes.
      await page
        .locator(`[data-cell="${id}"][data-renewed="true"] .outputs`)
        .getByText('begun')
        .waitFor();
      await bar(page, 'Stop').click();
      await cell(page, id).getByText(sentence).waitFor();
      await type(page, '2-5-work', `console.log(${kept}, given.width > 0);`);
      await run(page, '2-5-work');
      expect(await whole(page, '2-5-work')).toBe('true true');
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  test('Stop holds for a cell that waits for the disk, and the cell does not begin afterwards', async () => {
    const { page, faults } = await newPage(context);
    await openSheet(page, site);
    // With what it stands on, so that from now on it is alone.
    await run(page, '2-6-work');
    const [saving, fetching] = ['console.log("ran")', 'console.log("ran", "fringes.csv")'];
    for (const code of [saving, fetching]) {
      // Nothing runs before what was typed is saved; nor before the files are there that the cell names.
      if (code === fetching) await type(page, '2-6-work', code);
      await saved(page);
      const held = await holdDisk(page);
      if (code === saving) await type(page, '2-6-work', code);
      await cell(page, '2-6-work').getByRole('button', { name: /^Run/ }).click();
      await bar(page, 'Stop').click();
      await held.evaluate((release) => release());
      await cell(page, '2-6-work').getByText('stopped before it began').waitFor();
      await page.locator('[data-cell="2-6-work"][data-state="still"]').waitFor();
      expect(await whole(page, '2-6-work')).not.toContain('ran');
      await run(page, '2-6-work');
      expect(await whole(page, '2-6-work')).toContain('ran');
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  test('what was typed and not saved stays with its site, where an origin has several', async () => {
    const context = await browser.newContext();
    const address = { address: new URL('../waves/', site.address).href };
    const sheet = '2-6-work';
    const first = (await newPage(context)).page;
    await openSheet(first, site);
    await holdDisk(first);
    await type(first, sheet, '// on its way to the disk');
    const drafts = (page: Page) =>
      page.evaluate(() =>
        Object.entries(localStorage).filter(([, text]) => text.includes('// on')),
      );
    await expect.poll(() => drafts(first)).toHaveLength(1);
    await first.close();

    const { page } = await newPage(context);
    await openSheet(page, address);
    const alerts = (text: string) => page.locator('.notice').filter({ hasText: text });
    const empty = await cell(page, sheet).getByRole('textbox').textContent();
    expect(empty).not.toContain('// on');
    expect(await alerts('not saved').count()).toBe(0);
    expect(await drafts(page)).toHaveLength(1);
    const [[name, draft]] = await drafts(page);

    // As it was kept before sites were told apart. Of one that does not fit it is said once what is in it, and it stays.
    const old = name.replace(/:.*\/(?=02-)/, ':');
    expect(old).toMatch(/^multislit\.draft:02-one-slit\.ipynb:/);
    const other = draft.replace(/"base":"[^"]*"/, '"base":"// another text"');
    const put = (text: string) =>
      page.evaluate(
        ([from, to, text]) => {
          localStorage.removeItem(from);
          localStorage.setItem(to, text);
        },
        [name, old, text],
      );
    const again = async (at: string) => {
      await page.goto(`${at}?/sheet/02-one-slit.ipynb`);
      await page.locator('[data-kernel="ready"]').waitFor();
    };
    await put(other);
    await again(address.address);
    await alerts('was never saved: // on its way to the disk').waitFor();
    await again(address.address);
    expect(await alerts('never saved').count()).toBe(0);
    expect((await drafts(page)).map(([key]) => key)).toEqual([old]);
    await put(draft);
    await again(site.address);
    await alerts('is back').waitFor();
    await cell(page, sheet).getByText('// on its way to the disk').waitFor();
    await saved(page);
    expect(await drafts(page)).toEqual([]);
    await context.close();
  });

  test('tabs tell each other what they saved, and write over nothing that they have not seen', async () => {
    const [one, two] = await Promise.all([newPage(context), newPage(context)]);
    await openSheet(one.page, site);
    await openSheet(two.page, site);
    await type(one.page, '2-6-work', '// in the first tab');
    await cell(two.page, '2-6-work').getByText('// in the first tab').waitFor();
    expect(await kept(one.page)).toContain('// in the first tab');
    // As a third tab would that was cut off before it could tell.
    const other = (await kept(one.page)).replace('// in the first tab', '// in the third tab');
    await kept(one.page, other);
    await type(two.page, '2-6-work', '// in the second tab');
    await two.page
      .getByRole('heading', { name: 'This sheet was changed somewhere else' })
      .waitFor();
    expect(await kept(two.page)).toBe(other);
    await two.page.getByRole('button', { name: 'Take the other version' }).click();
    await cell(two.page, '2-6-work').getByText('// in the third tab').waitFor();
    await Promise.all([one.page.close(), two.page.close()]);
  });

  test('of a site that was uploaded in part it is said what is not there, and nothing is lost', async () => {
    const parts = site.files as Map<string, Buffer>;
    // A device that has kept the site whole goes on with that.
    const context = await browser.newContext({ serviceWorkers: 'block' });
    const before = await newPage(context);
    await openSheet(before.page, site);
    await before.page.close();
    for (const part of ['page/runner.html', 'page/checker.js'].map(site.part)) {
      const whole = parts.get(part) as Buffer;
      parts.delete(part);
      const { page } = await newPage(context);
      try {
        await page.goto(`${site.address}?/sheet/02-one-slit.ipynb`);
        if (part === site.part('page/checker.js')) {
          // What was given needs no compiler and is there; a cell that needs it says what is missing.
          await cell(page, 'given').locator('figure.plot').first().waitFor();
          await page.locator('[data-kernel="ready"]').waitFor();
          await type(page, '2-1-work', '1 + 1');
          await run(page, '2-1-work');
          await cell(page, '2-1-work').locator('.outputs').getByText(part).waitFor();
          await cell(page, 'given').getByRole('button', { name: /^Run/ }).click();
          await page.locator('[data-kernel="ready"]').waitFor();
        } else {
          await page.getByRole('alert').getByText(part, { exact: false }).waitFor();
          await cell(page, '2-1-work').getByRole('textbox').waitFor();
        }
      } finally {
        parts.set(part, whole);
      }
      await bar(page, 'Restart').click();
      await page.locator('[data-kernel="ready"]').waitFor();
      await page.close();
    }
  });

  test('in a frame that is shut off, or for which nothing is kept, it is said so, with the way out', async () => {
    const context = await browser.newContext({ serviceWorkers: 'block' });
    const course = new URL('/area/course.html', site.address).href;
    const framed = async (sandbox: string) => {
      await context.unroute(course);
      const body = `<!doctype html><title>course</title><iframe ${sandbox} src="${site.address}"></iframe>`;
      await context.route(course, (route) => route.fulfill({ contentType: 'text/html', body }));
      const page = await context.newPage();
      await page.goto(course);
      return { page, frame: page.frameLocator('iframe') };
    };
    const shut = await framed('sandbox="allow-scripts"');
    const way = shut.frame.getByRole('alert').filter({ hasText: 'shuts it off' });
    await way.getByRole('link', { name: site.address }).waitFor();
    expect(await shut.frame.getByRole('alert').count()).toBe(1);
    // As browsers do that keep nothing for frames of another site.
    await context.addInitScript(() => {
      if (window.top === window) return;
      IDBFactory.prototype.open = () => {
        throw new DOMException('The user denied it.', 'SecurityError');
      };
    });
    const { page, frame } = await framed('');
    const opened = context.waitForEvent('page');
    await frame.getByRole('link', { name: 'open it in a tab of its own' }).first().click();
    const own = await opened;
    await own.getByLabel('Your student number').waitFor();
    expect(await own.getByText('keeps nothing').count()).toBe(0);
    await Promise.all([page.close(), own.close(), shut.page.close()]);
    await context.close();
  });

  test('the first figure waits for no compiler', async () => {
    const context = await browser.newContext({ serviceWorkers: 'block' });
    // It is asked for, and never comes.
    const asked: string[] = [];
    await context.route(`**/${site.part('page/checker.js')}`, (route) => {
      asked.push(route.request().url());
    });
    const { page } = await newPage(context);
    await openSheet(page, site);
    await cell(page, 'given').locator('figure.plot').first().waitFor();
    await expect.poll(() => asked.length, { timeout: 20_000 }).toBe(1);
    await context.close();
  });

  test('the document around the frame in which cells run has no script, and lets none in', async () => {
    const { page } = await newPage(context);
    await openSheet(page, site);
    const around = page.frames().find((frame) => frame.url().includes('page/runner-'))!;
    const refused = await around.evaluate(
      async (own) => {
        const said: string[] = [];
        const all = new Promise<void>((done) =>
          addEventListener('securitypolicyviolation', ({ effectiveDirective }) => {
            if (said.push(effectiveDirective) === 3) done();
          }),
        );
        for (const [text, src] of [
          ['window.hit = 1', ''],
          ['', own],
        ]) {
          const script = document.createElement('script');
          if (src) script.src = src;
          else script.textContent = text;
          document.body.append(script);
        }
        const handler = document.createElement('div');
        handler.setAttribute('onclick', 'window.hit = 1');
        document.body.append(handler);
        handler.click();
        await all;
        return { said: said.sort(), hit: 'hit' in window, scripts: document.scripts.length };
      },
      `${site.address}${site.part('page/guard.js')}`,
    );
    expect(refused).toEqual({
      said: ['script-src-attr', 'script-src-elem', 'script-src-elem'],
      hit: false,
      scripts: 2,
    });
    await page.close();
  });

  test('a cell reaches no network, no storage, no page', async () => {
    const { page } = await newPage(await browser.newContext());
    await openSheet(page, site);
    const url = `${site.address}${site.part('sheets.json')}?taken`;
    const tries: Record<string, string> = {
      fetch: `await fetch('${url}')`,
      request: `(() => { const x = new XMLHttpRequest(); x.open('GET', '${url}', false); x.send(); })()`,
      socket: `await new Promise((done, fail) => { const s = new WebSocket('${url.replace('http', 'ws')}'); s.onopen = done; s.onerror = () => fail(Error('closed')); })`,
      script: `importScripts('${url}')`,
      module: `await (0, eval)("import('${url}')")`,
      worker: `await new Promise((done, fail) => { const w = new Worker('${url}'); w.onmessage = done; w.onerror = () => fail(Error('closed')); })`,
      database: `await new Promise((done, fail) => { const q = indexedDB.open('multislit /courses/optics%20II/'); q.onsuccess = done; q.onerror = () => fail(q.error); })`,
      caches: `await caches.keys()`,
      files: `await navigator.storage.getDirectory()`,
      storage: `localStorage.getItem('x')`,
      page: `parent.document.title`,
      document: `document.title`,
    };
    const code = Object.entries(tries).map(
      ([name, code]) =>
        `try { await (0, eval)(${JSON.stringify(`(async () => { ${code}; })()`)}); console.log('REACHED ${name}'); } catch { console.log('shut ${name}'); }`,
    );
    await type(page, '2-7-work', code.join('\n'));
    await run(page, '2-7-work');
    const said = (await whole(page, '2-7-work')) ?? '';
    for (const name of Object.keys(tries)) expect(said).toContain(`shut ${name}`);
    expect(said).not.toContain('REACHED');
    expect(site.asked.filter((path) => path.includes('taken'))).toEqual([]);

    // A word that no runner says is not heard, and the next cell runs.
    await type(
      page,
      '2-7-work',
      `const post: any = (globalThis as any).postMessage;\npost({ frame: 'failed', why: 'x' }); post('{"is":"done","run":"x"}'); post('<b>');\nconsole.log('still here')`,
    );
    await run(page, '2-7-work');
    expect(await whole(page, '2-7-work')).toBe('still here');
    await page.locator('[data-kernel="ready"]').waitFor();
    await page.close();
  });
});
