import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { asBundle } from '../../kernel-lib/display/bundle';
import { readAddress } from '../../kernel-lib/figures/bench/address';
import { benchPattern } from '../../kernel-lib/figures/bench/compute';
import { live, setBenchScript } from '../../kernel-lib/figures/live';
import { benchScript } from '../../kernel-lib/kernel/node-host';
import { farthestApart, painted } from './bench-stage';
import { findings } from './find-faults';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, run, skip, type } from './stage';

describe.skipIf(skip)('the live bench in a cell', () => {
  let page: Page;
  let faults: string[];

  const browser = () => page.context().browser()!;
  // The page's policy lets no foreign script in, axe included.
  const desk = onStage({ bypassCSP: true }, async (context) => {
    ({ page, faults } = await newPage(context));
    await page.goto(desk.address);
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
    expect(await findings(page)).toEqual([]);
  });

  test('what live(…) sends is the bench in any page that runs scripts, without a network', async () => {
    setBenchScript(benchScript);
    const html = String(live({ slits: 4 })[asBundle]()['text/html']);
    setBenchScript(undefined);
    const elsewhere = await newPage(await browser().newContext({ offline: true }));
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
    const still = await newPage(await browser().newContext({ javaScriptEnabled: false }));
    await still.page.setContent(html);
    await still.page.getByRole('img', { name: /^Film strip of 4 slits/ }).waitFor();
  });

  test('nothing was complained of in the console', () => {
    expect(faults).toEqual([]);
  });
});
