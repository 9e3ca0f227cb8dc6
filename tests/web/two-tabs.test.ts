import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
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
import { type SiteForTest, siteForTest } from './site-for-test';

/** Where a sheet is open. */
interface Place {
  readonly address: string;
  remove(): Promise<void>;
}

const site = (): Promise<SiteForTest> => siteForTest(['02-one-slit', '03-two-slits']);
async function desk(): Promise<Place> {
  const desk = new DeskProcess();
  await desk.start();
  return desk;
}

describe.skipIf(skip).each([
  ['a site', site],
  ['a desk', desk],
])('a sheet of %s that is open in two tabs', (_, begin: () => Promise<Place>) => {
  let place: Place;
  let browser: Browser;
  let context: BrowserContext;
  let one: Page;

  beforeAll(async () => {
    [place, browser] = await Promise.all([begin(), launchBrowser()]);
    context = await browser.newContext();
    one = (await newPage(context)).page;
    await openSheet(one, place);
  });
  afterAll(async () => {
    await browser?.close();
    await place?.remove();
  });

  const told = (page: Page) =>
    page.getByRole('status').filter({ hasText: 'open in another tab of this browser' });
  async function opened(where: BrowserContext, at = one.url()): Promise<Page> {
    const { page } = await newPage(where);
    await page.goto(at);
    await page.locator('[data-kernel="ready"]').waitFor();
    return page;
  }

  test('is told in both, and no more once the other is closed', async () => {
    await saved(one);
    expect(await told(one).count()).toBe(0);
    const two = await opened(context);
    await Promise.all([told(one).waitFor(), told(two).waitFor()]);
    const three = await opened(context);
    await told(three).waitFor();
    await two.close();
    await three.reload();
    await told(three).waitFor();
    await told(one).waitFor();
    await three.close();
    await told(one).waitFor({ state: 'detached' });
  });

  test('is told no more when the other shows something else, and of another sheet nothing', async () => {
    const two = await opened(context);
    await told(one).waitFor();
    await two.getByRole('link', { name: 'Worksheets', exact: true }).click();
    await told(one).waitFor({ state: 'detached' });
    await two.getByRole('button', { name: 'Begin Two slits' }).click();
    await two.locator('[data-kernel="ready"]').waitFor();
    expect([await told(one).count(), await told(two).count()]).toEqual([0, 0]);
    await two.close();
  });

  test.each(['locks', 'BroadcastChannel'])(
    'without %s nothing is told, and the sheet works',
    async (missing) => {
      // A browser that has all the rest: what it has not is looked for when the page uses it, not by the guard before it.
      await one.addInitScript((name) => {
        if (name === 'locks') Object.defineProperty(navigator, name, { value: undefined });
        else
          Object.defineProperty(window, name, {
            value: class {
              constructor() {
                throw new DOMException('shut', 'SecurityError');
              }
            },
          });
      }, missing);
      const faults: string[] = [];
      one.on('pageerror', (error) => faults.push(String(error)));
      await one.reload();
      await one.locator('[data-kernel="ready"]').waitFor();
      await type(one, '2-1-work', `// without ${missing}`);
      await saved(one);
      const two = await opened(context);
      await cell(two, '2-1-work').getByText(`// without ${missing}`).waitFor();
      expect([await told(one).count(), await told(two).count()]).toEqual([0, 0]);
      expect(faults).toEqual([]);
      await two.close();
    },
  );
});
