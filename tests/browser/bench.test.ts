import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { asBundle } from '../../kernel-lib/display/bundle';
import { readAddress } from '../../kernel-lib/figures/bench/address';
import { setBenchScript } from '../../kernel-lib/figures/bench/cell-script';
import { benchPattern } from '../../kernel-lib/figures/bench/compute';
import { live } from '../../kernel-lib/figures/live';
import { benchScript } from '../../kernel-lib/kernel/bench-script';
import { cell, DeskProcess, launchBrowser, newPage, openSheet, run, skip, type } from './stage';

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const sizes = [
  [1440, 900],
  [1024, 768],
  [390, 844],
] as const;

/** What axe-core finds against WCAG 2.2 A and AA, one line each. */
async function findings(page: Page): Promise<string[]> {
  // What stays at the top would lie over other targets.
  await page.evaluate(() => window.scrollTo(0, 0));
  const { violations } = await page.evaluate(() =>
    // biome-ignore lint/suspicious/noExplicitAny: axe puts itself there
    (window as any).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    }),
  );
  return violations.flatMap(({ id, nodes }: { id: string; nodes: { html: string }[] }) =>
    nodes.map(({ html }) => `${id}: ${html.slice(0, 200)}`),
  );
}

/** The pixels of the film as they are painted, R, G, B. */
const painted = (page: Page) =>
  page
    .locator('.film-reader canvas.strip')
    .evaluate((canvas: HTMLCanvasElement) =>
      Array.from(canvas.getContext('2d')!.getImageData(0, 0, canvas.width, 1).data).filter(
        (_, i) => i % 4 !== 3,
      ),
    );

const farthestApart = (one: ArrayLike<number>, other: ArrayLike<number>) =>
  Array.from(one).reduce((most, value, i) => Math.max(most, Math.abs(value - other[i])), 0);

describe.skipIf(skip)('the live bench', { timeout: 90_000 }, () => {
  const desk = new DeskProcess();
  let browser: Browser;
  let page: Page;
  let faults: string[];

  async function open(setting = ''): Promise<void> {
    await page.goto('about:blank');
    await page.goto(`http://127.0.0.1:${desk.port}/bench${setting && `#${setting}`}`);
    await page.locator('.readout').waitFor();
  }
  const setting = async () => {
    await page.waitForTimeout(600);
    return readAddress(new URL(page.url()).hash).setting;
  };

  beforeAll(async () => {
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    // The page's policy lets no foreign script in, axe included.
    ({ page, faults } = await newPage(await browser.newContext({ bypassCSP: true })));
    await page.goto(desk.address);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await desk.remove();
  });

  test.each([
    'slits=20&exposure=10',
    'light=mercury&slits=4&blocked=2&scale=log',
    'light=laser&wavelength=532nm&slits=10&sourceWidth=80um&incidence=10',
    'filter=true&bandCentre=620nm&slits=6&placeError=3um&ruling=5',
  ])('paints the very colours that the kernel computes: %s', async (address) => {
    await open(address);
    const read = readAddress(address);
    expect(read.faults).toEqual([]);
    const { srgb } = benchPattern(read.setting).strip;
    const seen = await painted(page);
    expect(seen).toHaveLength(srgb.length);
    // One level of 255, should the two engines round a sine differently.
    expect(farthestApart(seen, srgb)).toBeLessThanOrEqual(1);
    expect(Math.max(...seen)).toBeGreaterThan(200);
  });

  test.each(sizes)(
    'passes axe at %i × %i, in a light and a dark room, with a fault and pins',
    async (width, height) => {
      await page.setViewportSize({ width, height });
      await open();
      await page.addScriptTag({ path: axe });
      await page.getByRole('button', { name: 'Pin 1, 2, 3, 4, 10, 20 slits' }).click();
      await page.getByLabel('Spacing', { exact: true }).fill('3 µm');
      await page.getByLabel('Spacing', { exact: true }).press('Enter');
      await page.getByRole('alert').waitFor();
      expect(await findings(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        width,
      );
      await page.getByRole('button', { name: 'Dark room' }).click();
      expect(await findings(page)).toEqual([]);
    },
  );

  test('by keyboard alone: a slider, a typed value, the place on the film', async () => {
    await page.setViewportSize({ width: 1440, height: 900 });
    await open('light=laser&wavelength=500nm&slits=2&width=20um&spacing=100um&focalLength=500mm');
    await page.getByLabel('Number of slits, slider').focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('4');
    await page.keyboard.press('Enter');
    expect((await setting()).slits).toBe(4);

    const place = page.getByRole('slider', { name: /^Place on the film/ });
    await place.focus();
    await page.keyboard.press('Home');
    await expect.poll(() => place.getAttribute('aria-valuenow')).toBe('0');
    expect(await page.locator('.readout').textContent()).toContain('0° 00′ 00″');
    // f tan(arcsin(mλ/d)) = 2.500 mm for m = 1: sin θ = 0.005, θ = 17′ 11.3″ (by hand).
    for (let i = 0; i < 150; i++) await page.keyboard.press('ArrowRight');
    const words = await page.locator('.readout').textContent();
    expect(words).toContain('2.000 mm');
    // arctan(2/500) = 0.0040000 rad = 825.05″ = 13′ 45″; s d/λ = 0.0039999680 · 200 = 0.80.
    expect(words).toContain('0° 13′ 45″');
    expect(words).toMatch(/0\.80/);
  });

  test('a value that does not fit is answered beside its field, and the last good one stays', async () => {
    await open();
    const before = await painted(page);
    const field = page.getByLabel('Slit width', { exact: true });
    await field.fill('150');
    await field.press('Enter');
    expect(await page.getByRole('alert').textContent()).toContain('The slits would overlap');
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    expect((await setting()).width).toBe(40e-6);
    expect(await painted(page)).toEqual(before);
    await field.press('Escape');
    expect(await field.inputValue()).toBe('40 µm');
    expect(await page.getByRole('alert').count()).toBe(0);
  });

  test('a pinned strip stays as it was, and sets the bench back', async () => {
    await open('slits=2');
    await page.getByRole('button', { name: 'Pin this strip' }).click();
    const kept = await painted(page);
    await page.getByLabel('Number of slits: more').click();
    await expect.poll(() => painted(page)).not.toEqual(kept);
    await page.getByRole('button', { name: /^Set so: 2 slits/ }).click();
    await expect.poll(() => painted(page)).toEqual(kept);
    expect((await setting()).slits).toBe(2);
  });

  test('a link that is pasted into the address is taken; what is wrong in it is told', async () => {
    await open('slits=7&width=far');
    expect(await page.getByRole('alert').first().textContent()).toContain(
      'Slit width: "far" is not a number',
    );
    await page.evaluate(() => {
      location.hash = 'slits=9&light=sodium';
    });
    await expect
      .poll(() => page.getByLabel('Number of slits', { exact: true }).inputValue())
      .toBe('9');
  });

  test('live(…) in a cell of a sheet is the bench, with its caution and all that can be moved', async () => {
    await page.goto(`http://127.0.0.1:${desk.port}/`);
    await openSheet(page, desk);
    await type(
      page,
      '2-1-work',
      "import { live, um } from 'multislit';\nlive({ slits: 5, width: um(30) })",
    );
    await run(page, '2-1-work');
    const bench = cell(page, '2-1-work').getByRole('region', { name: 'Live bench' });
    await bench.waitFor();
    expect(await bench.getByLabel('Number of slits', { exact: true }).inputValue()).toBe('5');
    const { srgb } = benchPattern(readAddress('slits=5&width=30um').setting).strip;
    expect(farthestApart(await painted(page), srgb)).toBeLessThanOrEqual(1);
    await bench.getByLabel('Number of slits, slider').press('ArrowRight');
    await expect
      .poll(() => bench.getByLabel('Number of slits', { exact: true }).inputValue())
      .toBe('6');
    await page.addScriptTag({ path: axe });
    expect(await findings(page)).toEqual([]);
  });

  test('what live(…) sends is the bench in any page that runs scripts, without a network', async () => {
    setBenchScript(benchScript);
    const html = String(live({ slits: 4 })[asBundle]()['text/html']);
    setBenchScript(undefined);
    const elsewhere = await newPage(await browser.newContext({ offline: true }));
    await elsewhere.page.setContent(`<style>button { display: none }</style>${html}`);
    await elsewhere.page.getByLabel('Number of slits', { exact: true }).fill('6');
    await elsewhere.page.keyboard.press('Enter');
    const { srgb } = benchPattern(readAddress('slits=6').setting).strip;
    await expect
      .poll(async () => farthestApart(await painted(elsewhere.page), srgb))
      .toBeLessThanOrEqual(1);
    expect(await elsewhere.page.getByRole('button', { name: 'Pin this strip' }).isVisible()).toBe(
      true,
    );
    expect(elsewhere.faults).toEqual([]);

    // Where scripts do not run the picture stays, with its sentence.
    const still = await newPage(await browser.newContext({ javaScriptEnabled: false }));
    await still.page.setContent(html);
    await still.page.getByRole('img', { name: /^Film strip of 4 slits/ }).waitFor();
  });

  test('nothing was complained of in the console', () => {
    expect(faults).toEqual([]);
  });
});
