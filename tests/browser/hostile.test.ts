import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page, Request } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { onStage } from './on-stage';
import { newPage, openSheet, skip } from './stage';

const hit = "document.title='HIT';window.hit=1;localStorage.hit=1";
const svg = `<svg xmlns="http://www.w3.org/2000/svg" onload="${hit}"><script>${hit}</script><foreignObject><iframe srcdoc="<script>parent.${hit}</script>"></iframe></foreignObject><circle r="9" onclick="${hit}"/></svg>`;

/** Ways to get a script run that a notebook's outputs and texts may try; the common ones of OWASP's list, from memory. */
const html = [
  `<script>${hit}</script>`,
  `<img src=x onerror="${hit}">`,
  `<a href="javascript:${hit}" class="bait">click</a>`,
  `<iframe srcdoc="<script>parent.${hit}</script>"></iframe>`,
  `<object data="data:text/html,<script>${hit}</script>"></object>`,
  `<form action="javascript:${hit}"><button class="bait">go</button></form>`,
  `<math><mtext><table><mglyph><style><img src=x onerror="${hit}"></style></mglyph></table></mtext></math>`,
  `<details open ontoggle="${hit}"><summary>s</summary></details>`,
  `<style>body { display: none }</style>`,
  `<div style="position:fixed;inset:0;z-index:99999;background:red" class="cover">cover</div>`,
  `<base href="https://example.invalid/">`,
  `<meta http-equiv="refresh" content="0;url=https://example.invalid/">`,
  svg,
].join('\n');

const plot = {
  data: [
    {
      type: 'scatter',
      x: [1],
      y: [1],
      text: [`<img src=x onerror="${hit}"><a href="javascript:${hit}">t</a>`],
    },
  ],
  layout: {
    title: { text: `<a href="javascript:${hit}">title</a><script>${hit}</script>` },
    images: [{ source: 'https://example.invalid/spy.png', x: 0, y: 1, sizex: 1, sizey: 1 }],
  },
};
const verdict = {
  question: '9.1',
  asks: '<b>x</b>',
  state: 'agrees',
  marks: 1,
  outOf: 1,
  message: `<img src=x onerror="${hit}">`,
};

/** Sizes of KaTeX's own documentation of `maxSize`, and others of the kind. */
const formulas = [
  '\\rule{500em}{500em}',
  '\\rule{9999px}{9999px}',
  'a\\kern{900em}b',
  'a\\hspace{9000pt}b',
  '\\raisebox{800em}{c}',
  'd\\\\[700em] e',
];

const output = (data: Record<string, unknown>) => ({
  output_type: 'display_data' as const,
  data,
  metadata: { trusted: true, isolated: false },
});

const notebook = {
  nbformat: 4,
  nbformat_minor: 5,
  metadata: { trusted: true, language_info: { name: 'typescript' } },
  cells: [
    {
      cell_type: 'markdown' as const,
      id: 'words',
      metadata: { trusted: true, editable: false },
      source: `# Bait\n\n${html}\n\n$\\href{javascript:${hit}}{x}$ $\\htmlClass{y}{z}$`,
    },
    {
      cell_type: 'code' as const,
      id: 'outputs',
      metadata: { trusted: true },
      source: '1',
      execution_count: 1,
      outputs: [
        output({ 'text/html': html }),
        output({ 'image/svg+xml': svg }),
        output({ 'text/markdown': html }),
        output({ 'application/javascript': hit, 'text/plain': 'script only' }),
        output({ 'application/vnd.plotly.v1+json': plot, 'text/plain': 'a plot' }),
        output({ 'application/vnd.multislit.verdict+json': verdict }),
        { output_type: 'stream' as const, name: 'stdout' as const, text: `\u001b[31m${html}` },
        { output_type: 'error' as const, ename: html, evalue: html, traceback: [html] },
      ],
    },
  ],
};

const sizes = {
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [
    {
      cell_type: 'markdown' as const,
      id: 'sizes',
      metadata: {},
      source: `# Sizes\n\n${formulas.map((one) => `$${one}$`).join('\n\n')}\n\nThe end of it.`,
    },
  ],
};

describe.skipIf(skip)('a notebook from elsewhere', () => {
  let page: Page;
  const asked: Request[] = [];

  const desk = onStage({ viewport: { width: 1440, height: 900 } }, async (context) => {
    ({ page } = await newPage(context));
    writeFileSync(join(desk.folder, 'bait.ipynb'), writeNotebook(notebook));
    writeFileSync(join(desk.folder, 'sizes.ipynb'), writeNotebook(sizes));
    writeFileSync(join(desk.folder, 'broken.ipynb'), '{ "nbformat": 4, "cells": [');
    page.on('request', (request) => asked.push(request));
    await openSheet(page, desk);
  });

  test('is listed on the front page; a damaged one with what is wrong', async () => {
    await page.goto(`http://127.0.0.1:${desk.port}/`);
    await page.getByText('broken.ipynb: The file is not a notebook').waitFor();
    await page.getByRole('link', { name: 'bait.ipynb' }).click();
    await page.getByRole('heading', { name: 'Bait' }).waitFor();
  });

  test('runs none of its scripts, however they are wrapped, nor when clicked', async () => {
    await page.locator('figure.plot[data-drawn="true"]').waitFor();
    for (const bait of await page.locator('.bait, .outputs a, .text a').all())
      await bait.click({ force: true, noWaitAfter: true, timeout: 2000 }).catch(() => {});
    expect(await page.evaluate(() => 'hit' in window || 'hit' in localStorage)).toBe(false);
    expect(await page.title()).not.toContain('HIT');
    expect(new URL(page.url()).pathname).toBe('/sheet/bait.ipynb');
    const left = await page
      .locator(
        '#sheet script, #sheet iframe, #sheet object, #sheet form, #sheet style, #sheet base, #sheet meta',
      )
      .count();
    expect(left).toBe(0);
    const handlers = await page.evaluate(() =>
      [...document.querySelectorAll('#sheet *')].flatMap((node) =>
        node.getAttributeNames().filter((name) => name.startsWith('on')),
      ),
    );
    expect(handlers).toEqual([]);
  });

  test('shows words where only a script was sent, and marks up no verdict', async () => {
    await page.getByText('script only').waitFor();
    expect(await page.locator('.verdict img, .verdict b + *').count()).toBe(0);
  });

  test('covers nothing of the page outside its own place', async () => {
    const top = await page.evaluate(
      () => document.elementFromPoint(20, 20)?.closest('header') !== null,
    );
    expect(top).toBe(true);
    expect(await page.getByRole('button', { name: 'Run from the top' }).isVisible()).toBe(true);
  });

  test('a formula of any size keeps the page in sight', async () => {
    await page.goto(`http://127.0.0.1:${desk.port}/sheet/sizes.ipynb`);
    const end = page.getByText('The end of it.');
    await end.waitFor();
    const box = await end.boundingBox();
    const { widest, size, over } = await page.evaluate(() => ({
      widest: Math.max(
        ...[...document.querySelectorAll('.katex .rule')].map(
          (node) => node.getBoundingClientRect().width,
        ),
      ),
      size: Number.parseFloat(
        getComputedStyle(document.querySelector('.katex') as Element).fontSize,
      ),
      over: document.documentElement.scrollWidth - window.innerWidth,
    }));
    // 20 em for each size that is given; six formulas stand above the end.
    expect(widest / size).toBeLessThan(20.5);
    expect((box?.y ?? Number.POSITIVE_INFINITY) / size).toBeLessThan(8 * 20);
    expect(over).toBeLessThanOrEqual(0);
  });

  test('asks nothing of any other host', () => {
    const sent = asked.filter((request) => request.failure()?.errorText !== 'csp');
    const foreign = sent
      .map((request) => request.url())
      .filter(
        (url) => !url.startsWith(`http://127.0.0.1:${desk.port}/`) && !/^(data|blob):/.test(url),
      );
    expect(sent.length).toBeGreaterThan(10);
    expect(foreign).toEqual([]);
  });
});
