import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { cell, chromiumPath, launchBrowser, newPage, saved, skip, type } from '../browser/stage';
import { type SiteForTest, siteForTest } from './site-for-test';

const sheet = '?/sheet/02-one-slit.ipynb';

/** From a sheet's address, which begins it, to its givens. */
async function begin(page: Page, address: string): Promise<void> {
  await page.goto(`${address}${sheet}`);
  await page.getByLabel('Your student number').fill('204117');
  await page.getByLabel('Your student number').press('Enter');
  await cell(page, 'given').getByText('Student 204117').waitFor();
}

const alert = (page: Page, text: string | RegExp) =>
  page.getByRole('alert').getByText(text).first();

describe.skipIf(skip)('a site', () => {
  let site: SiteForTest;
  let browser: Browser;
  let context: BrowserContext;
  beforeAll(async () => {
    site = await siteForTest(['02-one-slit']);
    browser = await launchBrowser();
    context = await browser.newContext();
  });
  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });
  const files = () => site.files as Map<string, Buffer>;

  /** Take parts away, see what is said, and put them back. */
  async function without(parts: readonly string[], look: () => Promise<void>): Promise<void> {
    const gone = parts.map((part) => [part, files().get(part) as Buffer] as const);
    for (const [part] of gone) files().delete(part);
    try {
      await look();
    } finally {
      for (const [part, whole] of gone) files().set(part, whole);
    }
  }

  test('names every part by what it holds, and tells a device what it needs to keep it among its programs', () => {
    const unnamed = [...files().keys()].filter((path) => !/-[0-9A-Za-z]{8,10}\.\w+$/.test(path));
    // The page, what keeps it, and texts for people.
    expect(unnamed.sort()).toEqual([
      'hand-out.json',
      'index.html',
      'licence.txt',
      'service-worker.js',
      'sources.txt',
      'third-party.txt',
    ]);
    expect(files().get('index.html')?.length).toBeLessThan(8000);
    // Web App Manifest (W3C), members of the manifest and of its icons, from memory.
    const manifest = JSON.parse(String(files().get(site.part('manifest.json'))));
    expect(manifest).toMatchObject({ start_url: './', scope: './', display: 'standalone' });
    const pngs = manifest.icons.filter((icon: { type: string }) => icon.type === 'image/png');
    expect(pngs.map((icon: { sizes: string }) => icon.sizes)).toContain('512x512');
    for (const { src, sizes } of pngs) {
      const bytes = files().get(src) as Buffer;
      // PNG (W3C), section 11.2.1: width and height are the first two numbers of the header.
      expect(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`).toBe(sizes);
    }
  });

  test('opened once, works without its server; cells run, and what is typed is kept', async () => {
    const { page, faults } = await newPage(context);
    await begin(page, site.address);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    site.isThere = false;
    try {
      await page.reload();
      await page.locator('[data-kernel="ready"]').waitFor();
      await type(page, '2-1-work', 'const firstDarkLine = 1;');
      await cell(page, '2-1-answer')
        .getByRole('button', { name: /^Check/ })
        .click();
      await cell(page, '2-1-answer').getByText('Not yet').waitFor();
      await saved(page);
      await page.goto(site.address);
      await page.getByText('they open without a connection').waitFor();
      // The figures' code and the bench come from the device as well.
      await page.getByRole('link', { name: 'The live bench' }).click();
      await page.getByRole('slider').first().waitFor();
    } finally {
      site.isThere = true;
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  describe('what moves figures', () => {
    const kept = (page: Page) =>
      page.evaluate(async () => {
        const names = await caches.keys();
        const caught = await Promise.all(
          names.map(async (name) => (await caches.open(name)).keys()),
        );
        return caught.flat().filter(({ url }) => url.includes('plotly')).length;
      });
    const move = (page: Page) =>
      cell(page, 'given')
        .getByRole('button', { name: /^Zoom or read off/ })
        .first()
        .click();
    const moves = (page: Page) => cell(page, 'given').locator('.main-svg').first().waitFor();

    test('is kept from the first use on, and then moves them without a connection', async () => {
      const own = await browser.newContext();
      const { page, faults } = await newPage(own);
      await begin(page, site.address);
      await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
      expect(site.asked.filter((url) => url.includes('plotly'))).toEqual([]);
      expect(await kept(page)).toBe(0);
      await page.reload();
      await move(page);
      await moves(page);
      expect(await kept(page)).toBe(1);
      site.isThere = false;
      try {
        await page.reload();
        await move(page);
        await moves(page);
      } finally {
        site.isThere = true;
      }
      expect(faults).toEqual([]);
      await own.close();
    });

    // Network Information API (WICG), `type` and `saveData`, from memory.
    test.each([
      [{ type: 'wifi', saveData: false }, true],
      [{ type: 'wifi', saveData: true }, false],
      [{ type: 'cellular', saveData: false }, false],
    ])('on a line that says %o of itself, to keep it ahead is %s', async (line, isKept) => {
      const own = await browser.newContext();
      await own.addInitScript((line) => {
        Object.defineProperty(navigator, 'connection', { get: () => line });
        const words: unknown[] = [];
        Object.assign(window, { words });
        const { postMessage } = ServiceWorker.prototype;
        ServiceWorker.prototype.postMessage = function (...said: [unknown]) {
          words.push(said[0]);
          postMessage.apply(this, said);
        };
      }, line);
      const { page } = await newPage(own);
      await page.clock.install();
      await begin(page, site.address);
      await page.clock.runFor(6000);
      await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
      await page.clock.runFor(6000);
      // Behind what waits for the same.
      await page.evaluate(async () => void (await navigator.serviceWorker.ready));
      const words = await page.evaluate(() => (window as unknown as { words: unknown[] }).words);
      expect(words).toEqual(isKept ? ['take the rest'] : []);
      if (isKept) await expect.poll(() => kept(page), { timeout: 20_000 }).toBe(1);
      else expect(await kept(page)).toBe(0);
      await own.close();
    });
  });

  test('a new version waits beside the open sheet, and comes when it is asked for', async () => {
    const { page } = await newPage(context);
    await page.goto(`${site.address}${sheet}`);
    await cell(page, '2-1-work').getByRole('textbox').waitFor();
    const program = () =>
      page.evaluate(() => document.querySelector<HTMLScriptElement>('[type=module]')?.src);
    const before = await program();
    const old = new Map(files());
    const newer = await siteForTest(['02-one-slit', '03-two-slits']);
    try {
      const update = () =>
        page.evaluate(async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          await registration?.update().catch(() => {});
          const { installing } = registration ?? {};
          await new Promise<void>((done) => {
            if (!installing) return done();
            installing.onstatechange = () =>
              ['installed', 'redundant'].includes(installing.state) && done();
          });
          return registration?.waiting !== null;
        });
      // Uploaded in part: the version that is whole stays.
      files().clear();
      for (const [path, bytes] of newer.files) files().set(path, bytes);
      const types = newer.part('types.json');
      const half = newer.part('sheets/03-two-slits.js');
      const whole = files().get(half) as Buffer;
      files().set(half, whole.subarray(0, whole.length / 2));
      expect(files().has(types)).toBe(true);
      expect(await update()).toBe(false);
      expect(await page.getByText('A newer version').count()).toBe(0);

      files().set(half, whole);
      expect(await update()).toBe(true);
      await page.getByText('A newer version of these worksheets has arrived').waitFor();
      await type(page, '2-2-work', '// typed under the old version');
      // Another tab of the old version opens as the old one, with all that it asks for later.
      const other = await newPage(context);
      await other.page.goto(`${site.address}?/help`);
      await other.page.getByRole('heading', { name: 'Where your files lie' }).waitFor();
      await other.page.goto(site.address);
      await other.page.locator('.sheets li').first().waitFor();
      expect(await other.page.locator('.sheets li').count()).toBe(1);
      await other.page.close();

      await Promise.all([
        page.waitForEvent('load'),
        page.getByRole('button', { name: 'Change now' }).click(),
      ]);
      await cell(page, '2-2-work').getByText('// typed under the old version').waitFor();
      expect(await page.getByText('A newer version').count()).toBe(0);
      await page.goto(site.address);
      await page.getByRole('button', { name: 'Begin Two slits' }).waitFor();
      expect(await program()).toBe(before);
    } finally {
      files().clear();
      for (const [path, bytes] of old) files().set(path, bytes);
      await newer.remove();
      await page.close();
    }
  });

  test('on plain http elsewhere it works as well, and promises nothing that is not so', async () => {
    const elsewhere = await chromium.launch({
      executablePath: chromiumPath,
      args: ['--no-sandbox', '--disable-gpu', '--host-resolver-rules=MAP room12.test 127.0.0.1'],
    });
    const { page, faults } = await newPage(await elsewhere.newContext());
    await begin(page, site.address.replace('127.0.0.1', 'room12.test'));
    expect(await page.evaluate(() => [isSecureContext, 'serviceWorker' in navigator])).toEqual([
      false,
      false,
    ]);
    await type(page, '2-1-work', 'const firstDarkLine = 1;');
    await cell(page, '2-1-answer')
      .getByRole('button', { name: /^Check/ })
      .click();
    await cell(page, '2-1-answer').getByText('Not yet').waitFor();
    await saved(page);
    await page.goto(site.address.replace('127.0.0.1', 'room12.test'));
    await page.getByText('Your copies are kept by this browser').waitFor();
    expect(await page.getByText('without a connection').count()).toBe(0);
    await page.getByRole('button', { name: 'Go on with One slit' }).click();
    await cell(page, '2-1-answer').getByText('Not yet').waitFor();
    expect(faults).toEqual([]);
    await elsewhere.close();
  });

  describe('where something is missing, a sentence says what', () => {
    const fresh = async (script?: () => void) => {
      const own = await browser.newContext({ serviceWorkers: 'block' });
      if (script) await own.addInitScript(script);
      return (await newPage(own)).page;
    };

    test.each([
      ['page/app.js', /^A part of this site is not there: page\/app-\w+\.js \(404\)\./],
      ['page/app-style.css', /page\/app-style-\w+\.css \(404\)/],
      ['sheets.json', /^A part of this site is not there \(sheets-\w+\.json, 404\)/],
    ])('%s was not uploaded', async (part, sentence) => {
      await without([site.part(part)], async () => {
        const page = await fresh();
        await page.goto(site.address);
        await alert(page, sentence).waitFor();
        await page
          .getByText('Tell whoever gave you this address', { exact: false })
          .or(page.getByText('tell whoever gave you this address', { exact: false }))
          .first()
          .waitFor();
        await page.context().close();
      });
    });

    test('a piece of the program that others ask for was not uploaded', async () => {
      const app = String(files().get(site.part('page/app.js')));
      const [, piece] = /from"\.\/(chunk-\w+\.js)"/.exec(app) as RegExpExecArray;
      await without([`page/${piece}`], async () => {
        const page = await fresh();
        await page.goto(site.address);
        await alert(page, `page/${piece} (404)`).waitFor();
        await page.context().close();
      });
    });

    test('the browser is too old, in the one way or the other', async () => {
      const page = await fresh(() => {
        Reflect.deleteProperty(Array.prototype, 'findLast');
        Reflect.deleteProperty(window, 'BroadcastChannel');
      });
      await page.goto(site.address);
      await alert(
        page,
        /too old .* it has no words between tabs, no the language of 2023/,
      ).waitFor();
      expect(await page.locator('.sheets').count()).toBe(0);
      await page.context().close();
    });

    test('the browser keeps nothing: what is written stays while the tab does, and goes out as a file', async () => {
      const page = await fresh(() => {
        const refuse = () => {
          throw new DOMException('No storage here.', 'SecurityError');
        };
        for (const name of ['indexedDB', 'localStorage', 'sessionStorage'])
          Object.defineProperty(window, name, { get: refuse });
        navigator.locks.request = navigator.locks.query = () =>
          Promise.reject(new DOMException('No locks here.', 'SecurityError'));
      });
      await begin(page, site.address);
      await page.getByText('This browser keeps nothing for this page').waitFor();
      await type(page, '2-1-work', 'const firstDarkLine = 12;');
      await saved(page);
      await page.getByRole('link', { name: 'Worksheets' }).click();
      await page.getByText('not downloaded yet').waitFor();
      await page.getByRole('button', { name: 'Go on with One slit' }).click();
      await cell(page, '2-1-work').getByText('const firstDarkLine = 12;').waitFor();
      await page.locator('[data-kernel="ready"]').waitFor();
      await page.goBack();
      await page.goForward();
      await cell(page, '2-1-work').getByText('const firstDarkLine = 12;').waitFor();
      await page.context().close();
    });

    test('the device is full: the text stays on the screen, and can be downloaded', async () => {
      const own = await browser.newContext({ serviceWorkers: 'block', acceptDownloads: true });
      const { page } = await newPage(own);
      const devtools = await own.newCDPSession(page);
      const { origin } = new URL(site.address);
      await devtools.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 900_000 });
      await begin(page, site.address);
      await page.locator('[data-kernel="ready"]').waitFor();
      await saved(page);
      await page.evaluate(
        () =>
          new Promise<void>((full) => {
            const opening = indexedDB.open('what else a device holds');
            opening.onupgradeneeded = () => opening.result.createObjectStore('texts');
            opening.onsuccess = () => {
              let size = 100_000;
              const fill = (): void => {
                const transaction = opening.result.transaction('texts', 'readwrite');
                transaction.objectStore('texts').put('x'.repeat(size), Math.random());
                transaction.oncomplete = fill;
                transaction.onabort = () => {
                  size /= 4;
                  if (size < 4000) full();
                  else fill();
                };
              };
              fill();
            };
          }),
      );
      await type(page, '2-1-work', 'const firstDarkLine = 34;');
      await alert(page, /^This browser has no room for more\. Nothing typed is lost/).waitFor();
      const content = async (button: string) => {
        const [file] = await Promise.all([
          page.waitForEvent('download'),
          page.getByRole('button', { name: button, exact: true }).click(),
        ]);
        const stream = await file.createReadStream();
        return (await stream.toArray()).join('');
      };
      expect(await content('Download')).toContain('const firstDarkLine = 34;');
      await page.getByRole('button', { name: 'Hand in …' }).click();
      expect(await content('Make the file from what is on the screen')).toContain('= 34;');
      await page.getByRole('button', { name: 'Close' }).click();
      await own.close();
    });
  });
});
