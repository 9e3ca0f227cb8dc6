import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { multislit } from '../cli/multislit';
import { siteForTest } from '../web/site-for-test';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, skip } from './stage';

/** Fields of the bench, and the words with which the sheet tells the student the same number. */
const fields = {
  '03-two-slits': {
    'Slit width': 'given.width',
    Spacing: 'given.spacing',
    'Band centre': 'given.wavelength',
    'Camera, focal length': 'given.focalLength',
  },
  '02-one-slit': {
    'Slit width': 'given.width',
    'Band centre': 'given.wavelength',
    'Camera, focal length': 'given.focalLength',
  },
  '07-your-own-pattern': {
    Spacing: 'given.label',
    'Laser wavelength': 'given.wavelength',
    'Camera, focal length': 'given.distance',
  },
};

/** What the sheet tells of a given, in the bench's units: `a = 41 µm (given.width)` is 41. */
async function toldOf(page: Page, name: string): Promise<number> {
  const told = (await cell(page, 'given').locator('.outputs').textContent()) ?? '';
  const found = new RegExp(
    `([\\d.]+) (nm|µm|mm|m) (?:apart )?\\(${name.replace('.', '\\.')}\\)`,
  ).exec(told);
  if (!found) throw new Error(`The sheet tells nothing of ${name}: ${told}`);
  return Number(found[1]) * (found[2] === 'm' ? 1000 : 1);
}

describe.skipIf(skip)(
  'the link under Look opens the bench with what this student was given',
  () => {
    let context: BrowserContext;
    const desk = onStage({}, async (made) => {
      context = made;
    });

    async function follow(page: Page, sheet: keyof typeof fields): Promise<void> {
      const link = cell(page, 'look-move').getByRole('link', {
        name: 'Open the live bench with these values',
      });
      const coming = page.context().waitForEvent('page');
      await link.click();
      const bench = await coming;
      for (const [field, given] of Object.entries(fields[sheet])) {
        const shown = await bench.getByLabel(field, { exact: true }).inputValue();
        expect(Number(/^[\d.]+/.exec(shown)?.[0]), `${field}: ${shown}`).toBe(
          await toldOf(page, given),
        );
      }
      await bench.close();
      // The sheet stands where it stood.
      await link.waitFor();
    }

    async function begin(page: Page, address: string, title: string): Promise<void> {
      await page.goto(address);
      await page.getByLabel('Your student number').fill('1187');
      await page.getByLabel('Your student number').press('Enter');
      await page.getByRole('button', { name: `Begin ${title}` }).click();
      await cell(page, 'look-move').locator('.bench-link').waitFor();
    }

    test('on a desk', async () => {
      const { page, faults } = await newPage(context);
      await openSheet(page, desk, 'Two slits');
      await cell(page, 'look-move').locator('.bench-link').waitFor();
      await follow(page, '03-two-slits');
      expect(faults).toEqual([]);
    });

    test('on a site', async () => {
      const site = await siteForTest(['07-your-own-pattern']);
      const { page, faults } = await newPage(await context.browser()!.newContext());
      await begin(page, site.address, 'Your own pattern');
      await follow(page, '07-your-own-pattern');
      expect(faults).toEqual([]);
      await page.context().close();
      await site.remove();
    });

    test('in a sheet that is one file', async () => {
      const folder = mkdtempSync(join(tmpdir(), 'memory stick '));
      const path = join(folder, 'one slit.html');
      expect((await multislit(['hand-out', '--file', path, '02-one-slit'])).err).toBe('');
      const { page, faults } = await newPage(
        await context.browser()!.newContext({ offline: true }),
      );
      await begin(page, pathToFileURL(path).href, 'One slit');
      await follow(page, '02-one-slit');
      expect(faults).toEqual([]);
      await page.context().close();
      rmSync(folder, { recursive: true });
    });
  },
);
