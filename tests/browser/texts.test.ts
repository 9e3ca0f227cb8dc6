import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { build } from 'esbuild';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { needs } from '../needs';
import { onStage } from './on-stage';
import { cell, newPage, openSheet, skip } from './stage';

const { path: python, skip: noPython } = needs('scipy');

describe.skipIf(skip)('texts of a sheet', () => {
  let page: Page;
  let faults: string[];
  const asked: string[] = [];
  const setters = () => asked.filter((url) => /\/formula-\w+\.js$/.test(url));

  const desk = onStage({}, async (context) => {
    ({ page, faults } = await newPage(context));
    page.on('request', (request) => asked.push(new URL(request.url()).pathname));
    await openSheet(page, desk);
  });

  test('their formulas are set without what sets formulas', async () => {
    const texts = page.locator('#sheet .text');
    expect(await texts.locator('.katex').count()).toBeGreaterThan(30);
    expect((await texts.allTextContents()).join('')).not.toContain('$');
    expect(setters()).toEqual([]);
  });

  test('a formula of one’s own is set once that has come, and read as it was typed where it does not come', async () => {
    const written = page.locator('.written textarea').first();
    const id = await written.evaluate(
      (area) => area.closest<HTMLElement>('.written')?.dataset.cell,
    );
    const answer = cell(page, id ?? '');
    let isCut = true;
    await page.route(/\/formula-\w+\.js$/, (route) => (isCut ? route.abort() : route.continue()));
    await written.fill('It is $\\frac{3}{17}\\,a$ wide.');
    await written.blur();
    await expect.poll(() => setters().length).toBe(1);
    expect(await answer.locator('.text').textContent()).toContain('$\\frac{3}{17}\\,a$');
    faults.length = 0;
    isCut = false;
    await page.reload();
    await answer.locator('.katex .mfrac').waitFor();
    expect(await answer.locator('.text').textContent()).not.toContain('$');
    expect(faults).toEqual([]);
  });

  // The list of HTML's names as Python's standard library has it (html.entities.html5).
  test.skipIf(noPython)('every name of a letter that HTML has is read, and no other', async () => {
    const listed = spawnSync(python ?? '', [
      '-c',
      'import json, html.entities; print(json.dumps(html.entities.html5))',
    ]);
    const names = Object.entries<string>(JSON.parse(String(listed.stdout))).filter(([name]) =>
      name.endsWith(';'),
    );
    expect(names.length).toBeGreaterThan(2000);
    const { outputFiles } = await build({
      entryPoints: [
        createRequire(import.meta.url).resolve('../../kernel-lib/page/text/letter-names.ts'),
      ],
      bundle: true,
      write: false,
      format: 'iife',
      globalName: 'letters',
    });
    const blank = await page.context().newPage();
    await blank.addScriptTag({ content: outputFiles[0].text });
    const read = (texts: string[]) =>
      blank.evaluate(
        (texts) =>
          texts.map((text) =>
            (
              globalThis as unknown as { letters: { decodeHTMLStrict(text: string): string } }
            ).letters.decodeHTMLStrict(text),
          ),
        texts,
      );
    expect(await read(names.map(([name]) => `&${name}`))).toEqual(names.map(([, text]) => text));
    const none = ['&notit;', '&lambdas;', '&copycat;', '&x;'];
    expect(await read(none)).toEqual(none);
    await blank.close();
  });
});
