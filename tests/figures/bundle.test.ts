import { afterEach, describe, expect, test } from 'vitest';
import { asBundle, isShowable, type MimeBundle } from '../../kernel-lib/display/bundle';
import { setDisplayPort } from '../../kernel-lib/display/display';
import { show } from '../../kernel-lib/figures/show';
import { fitSlits } from '../../kernel-lib/fitting/slits/fit-slits';
import { slitProfile } from '../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../kernel-lib/numerics/random';
import { samples } from './samples';

type Json = { [key: string]: Json } | Json[] | string | number | boolean | null;

const unescaped = (text: string) =>
  text.replace(
    /&(lt|gt|quot|amp);/g,
    (_, name) => ({ lt: '<', gt: '>', quot: '"', amp: '&' })[name as 'lt'],
  );

/** Every list and value inside, with its path. */
function walk(value: Json, path: string, visit: (value: Json, path: string) => void): void {
  visit(value, path);
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inner] of Object.entries(value)) walk(inner as Json, `${path}.${key}`, visit);
}

describe.each(Object.entries(samples))('%s', (_, make) => {
  const figure = make();
  const bundle = figure[asBundle]();

  test('goes out as plotly, HTML, a static picture and words', () => {
    const still = figure.png ? 'image/png' : 'image/svg+xml';
    expect(Object.keys(bundle)).toEqual([
      'application/vnd.plotly.v1+json',
      'text/html',
      still,
      'text/plain',
    ]);
    expect(bundle['text/plain']).toBe(figure.alt);
  });

  test('has one sentence with numbers as text alternative', () => {
    expect(figure.alt).toMatch(/^[^\n]+\.$/);
    expect(figure.alt).toMatch(/\d/);
    expect(figure.alt).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  test('has HTML that needs neither scripts nor a network', () => {
    const html = String(bundle['text/html']);
    // One image and no more: that is what front ends let stand in a notebook that they do not trust.
    const [, alt, address] =
      /^<img alt="([^"]+)" src="data:image\/svg\+xml;base64,([^"]+)" style="[^"]*"\/>$/.exec(html)!;
    expect(unescaped(alt)).toBe(figure.alt);
    const svg = Buffer.from(address, 'base64').toString();
    expect(svg).toBe(figure.svg);
    expect(svg).toContain('role="img"');
    expect(svg).not.toMatch(/<script|\son\w+=|@import|url\(|<style|<foreignObject/i);
    const addresses = [...svg.matchAll(/(?:href|src)="([^"]*)"/g)].map(([, to]) => to);
    expect(addresses.filter((to) => !to.startsWith('data:image/png;base64,'))).toEqual([]);
    expect(svg.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:/);
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('has plotly data of plain JSON, at most 2000 points a trace', () => {
    const plotly = figure.plotly as unknown as Json;
    expect(JSON.parse(JSON.stringify(plotly))).toEqual(plotly);
    walk(plotly, 'plotly', (value, path) => {
      if (Array.isArray(value)) expect(value.length, path).toBeLessThanOrEqual(2000);
      if (typeof value === 'number') expect(Number.isFinite(value), path).toBe(true);
    });
    expect(JSON.stringify(plotly).length).toBeLessThan(300_000);
  });

  test('names quantity and unit of every axis that is drawn', () => {
    for (const [name, axis] of Object.entries(figure.plotly.layout)) {
      if (!/^[xy]axis/.test(name)) continue;
      const { title, visible, ticktext } = axis as {
        title: { text: string };
        visible: boolean;
        ticktext?: string[];
      };
      if (visible && !ticktext) expect(title.text.replaceAll('<br>', ' ')).toMatch(/^\S.* \(.+\)$/);
    }
  });

  test('shows itself as the last value of a cell', () => {
    expect(isShowable(figure)).toBe(true);
  });
});

describe('show', () => {
  afterEach(() => void setDisplayPort(undefined));

  test('emits the bundle once', () => {
    const seen: MimeBundle[] = [];
    setDisplayPort({ show: (bundle) => void seen.push(bundle) });
    const figure = samples.phasors();
    show(figure);
    expect(seen).toEqual([figure[asBundle]()]);
  });

  test('calls a function that makes the figure only when somebody looks', () => {
    const seen: MimeBundle[] = [];
    let made = 0;
    const make = () => {
      made++;
      return samples.phasors();
    };
    setDisplayPort({ silent: true, show: (bundle) => void seen.push(bundle) });
    show(make);
    expect([made, seen.length]).toEqual([0, 0]);
    setDisplayPort({ show: (bundle) => void seen.push(bundle) });
    show(make);
    expect(made).toBe(1);
    expect(seen).toEqual([samples.phasors()[asBundle]()]);
  });

  test('says what a function returned in the place of a figure', () => {
    setDisplayPort({ show() {} });
    expect(() => show((() => undefined) as never)).toThrow(
      'show() was given a function that returns undefined',
    );
  });

  test.each([
    ['null', null],
    ['number', 3],
    ['an array', [1, 2]],
    ['object', {}],
  ])('says what it was given: %s', (word, value) => {
    expect(() => show(value as never)).toThrow(TypeError);
    expect(() => show(value as never)).toThrow(`show() was given ${word}`);
  });
});

test('a fit of slits is shown as its sentence, its lengths with their uncertainties, its curve and residuals', () => {
  const geometry = { wavelength: 546.1e-9, focalLength: 0.5 };
  const profile = slitProfile(seeded(3), { count: 3, width: 40e-6, spacing: 100e-6, ...geometry });
  const seen: MimeBundle[] = [];
  const before = setDisplayPort({ show: (bundle) => seen.push(bundle) });
  try {
    show(fitSlits(profile, { ...geometry, count: 3 }));
  } finally {
    setDisplayPort(before);
  }
  const text = String(seen[0]['text/plain']);
  expect(text).toMatch(/^(?:Trust it: |Do not trust it, because )/);
  // In micrometres, the uncertainty in the last digits (JCGM 100:2008, 7.2.2, from memory), near what was put in.
  const [, width, spacing] = /width ([\d.]+)\([\d.]+\) µm.*spacing ([\d.]+)\([\d.]+\) µm/.exec(
    text,
  )!;
  expect(Math.abs(Number(width) / 40 - 1)).toBeLessThan(0.02);
  expect(Math.abs(Number(spacing) / 100 - 1)).toBeLessThan(0.02);
  expect(String(seen[0]['image/svg+xml'])).toContain('residual / u');
});
