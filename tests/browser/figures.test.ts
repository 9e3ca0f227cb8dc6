import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { samples } from '../figures/samples';
import { launchBrowser, skip } from './stage';

const plotly = createRequire(import.meta.url).resolve('plotly.js-dist-min/plotly.min.js');

describe.skipIf(skip)('figures in a browser', () => {
  let browser: Browser;
  let page: Page;
  const complaints: string[] = [];
  // As wide as a phone: what fits there fits everywhere.

  beforeAll(async () => {
    browser = await launchBrowser();
    page = await browser.newPage({ viewport: { width: 390, height: 800 } });
    page.on('console', (message) => complaints.push(`${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => complaints.push(error.message));
    await page.setContent('<body></body>');
    await page.addScriptTag({ path: plotly });
  });
  afterAll(() => browser?.close());

  test.each(Object.entries(samples))('plotly draws every trace: %s', async (_, make) => {
    complaints.length = 0;
    const { data, layout } = make().plotly;
    const drawn = await page.evaluate(
      async ([data, layout]) => {
        const { Plotly } = window as unknown as {
          Plotly: {
            newPlot(
              to: HTMLElement,
              data: unknown,
              layout: unknown,
              options: unknown,
            ): Promise<unknown>;
            validate(data: unknown, layout: unknown): { msg: string }[] | undefined;
          };
        };
        const place = document.createElement('div');
        document.body.replaceChildren(place);
        await Plotly.newPlot(place, data, layout, { responsive: true });
        const count = (selector: string) => place.querySelectorAll(selector).length;
        return {
          traces: count('.scatterlayer .trace') + count('.barlayer .trace'),
          images: count('.imagelayer image, .layer-below image'),
          titles: [...place.querySelectorAll('text')].filter((text) =>
            /^[xy]\d*title$/.test(text.getAttribute('class') ?? ''),
          ).length,
          clipped: [...place.querySelectorAll('text')]
            .map((text) => ({ text: text.textContent, box: text.getBoundingClientRect() }))
            .filter(({ box }) => box.right > innerWidth + 1 || box.left < -1)
            .map(({ text }) => text),
          wrong: (Plotly.validate(data, layout) ?? []).map(({ msg }) => msg),
        };
      },
      [data, layout] as const,
    );
    expect(drawn.wrong).toEqual([]);
    expect(drawn.clipped).toEqual([]);
    expect(drawn.traces).toBe(data.length);
    expect(drawn.images).toBe((layout.images as unknown[]).length);
    const visible = Object.entries(layout).filter(([name, axis]) => {
      const { visible, title } = (axis ?? {}) as { visible?: boolean; title?: { text: string } };
      return /^[xy]axis/.test(name) && visible && title?.text;
    });
    expect(drawn.titles).toBe(visible.length);
    expect(complaints).toEqual([]);
  });

  test.each(Object.entries(samples))(
    'the static picture keeps all text inside and apart: %s',
    async (_, make) => {
      complaints.length = 0;
      const found = await page.evaluate((svg) => {
        const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml');
        const broken = parsed.querySelector('parsererror')?.textContent ?? '';
        document.body.innerHTML = svg;
        const picture = document.querySelector('svg')!;
        const frame = picture.getBoundingClientRect();
        const boxes = [...picture.querySelectorAll('text')].map((text) => ({
          text: text.textContent ?? '',
          own: text.parentElement?.tagName === 'svg' && text.parentElement !== (picture as Element),
          box: text.getBoundingClientRect(),
        }));
        const outside = boxes
          .filter(
            ({ box }) =>
              box.left < frame.left - 1 ||
              box.right > frame.right + 1 ||
              box.top < frame.top - 1 ||
              box.bottom > frame.bottom + 1,
          )
          .map(({ text }) => text);
        const overlaps: string[] = [];
        const outer = boxes.filter(({ own }) => !own);
        outer.forEach((a, i) => {
          for (const b of outer.slice(i + 1)) {
            const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
            const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
            if (wide > 1 && high > 3) overlaps.push(`${a.text} / ${b.text}`);
          }
        });
        return {
          broken,
          outside,
          overlaps,
          label: picture.getAttribute('aria-label'),
          role: picture.getAttribute('role'),
        };
      }, make().svg);
      expect(found).toEqual({
        broken: '',
        outside: [],
        overlaps: [],
        label: make().alt,
        role: 'img',
      });
      expect(complaints).toEqual([]);
    },
  );
});
