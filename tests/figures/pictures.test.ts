import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { decode } from 'fast-png';
import { describe, expect, test } from 'vitest';
import { elementsOf, pixelsDiffer, svgDiffers } from './compare-pictures';
import { samples } from './samples';

/**
 * Every kind of figure as a picture that a person can look at: tests/figures/pictures/. A change that shows fails;
 * where it is meant, `MULTISLIT_RENEW_PICTURES=1 npm test -- tests/figures/pictures.test.ts` keeps the new ones.
 * Whoever renews them opens each and finds what stands here; all were looked at on 27 November 2026.
 */
const mustBeSeen: Record<string, string> = {
  pattern:
    'three curves from one top at 0: a broad hill that meets the axis at ±13.75, fringes under it at ±5.5 as high as it, of three slits narrower than of two, with one low hump between',
  'pattern, logarithmic':
    'two low humps between any two orders of four slits, zeros cut off at the floor, order 2 lower than order 1, humps near ±4 lowest',
  strip:
    'black film, white in the middle, then brown, a dark line, blue, yellow, red outwards on both sides alike, fainter and mixed farther out',
  'strip, burnt out':
    'one red without any white; three wide bars at −1.9, 0 and 1.9 mm, each with an orange line above its middle, one weak line between them',
  'strip under its curve':
    'three peaks above the bright parts of the strip, on one axis in degrees; the side peaks 0.4 high and wider',
  'stacked strips':
    'two strips under each other with labels at their left; of four slits the white middle is half as wide, red and blue ends stand apart at ±2 mm',
  phasors:
    'four arrows of one length, tip to tail, each turned by the same angle to the right; a dashed arrow from the start to the last tip, lying flat',
  'spectrum of sunlight':
    'a dashed grey curve with narrow dips, the deepest at 760 nm; from 630 to 670 nm a band in pale blue and under it a red area with slanting sides',
  'spectrum of mercury':
    'violet sticks near 405 and 436, a green one at 546, two yellow ones side by side at 577 and 579, each with its wavelength above',
  chromaticity:
    'a horseshoe, green above, red at the right, blue and violet below, its open side dashed; the path starts beside the cross of white and runs through blue, purple and yellow',
  'near to far':
    'four panels: a flat-topped shadow with ripples, then narrower hills; the dashed curve far off at first, the same as the other in the last panel',
  vernier:
    'four rows of lines that go up from an edge (212° to 232°) and lines that hang from it (0 to 20 in blue); two lines after 18 meet',
  'vernier, magnified': 'seven hanging lines, the middle one 15; the second after it meets 21°',
  readings: 'eight circles along a dashed line through 0',
  'fit of many points':
    'dots around a brown curve with a high middle, two side peaks, and small ones; crosses in a row at 900 cut the middle off; below a band of dots around 0',
  fit: 'eight circles on a brown line; below residuals with bars of ±1 around a dashed zero',
};

const folder = fileURLToPath(new URL('pictures/', import.meta.url));
const renew = process.env.MULTISLIT_RENEW_PICTURES === '1';
const fileOf = (name: string) => name.replaceAll(/\W+/g, '-');
const keptSvg = (name: string) => readFileSync(`${folder}${fileOf(name)}.svg`, 'utf8');

mkdirSync(folder, { recursive: true });

describe.each(Object.entries(samples))('%s', (name, make) => {
  test('looks as it was looked at', () => {
    const { svg, png } = make();
    const path = `${folder}${fileOf(name)}`;
    if (renew) {
      writeFileSync(`${path}.svg`, svg);
      if (png) writeFileSync(`${path}.png`, png);
    }
    expect(svgDiffers(keptSvg(name), svg)).toEqual([]);
    if (png) expect(pixelsDiffer(readFileSync(`${path}.png`), png)).toBeUndefined();
  });
});

test('of each picture stands what must be seen, and none is left over', () => {
  expect(Object.keys(mustBeSeen).sort()).toEqual(Object.keys(samples).sort());
  const files = new Set(readdirSync(folder).map((file) => file.replace(/\.(svg|png)$/, '')));
  expect([...files].sort()).toEqual(Object.keys(samples).map(fileOf).sort());
});

describe('the comparison sees what a person would see', () => {
  const kept = keptSvg('pattern');
  test.each([
    [
      'a curve half a unit lower',
      kept.replace(/M(\d+\.?\d*) (\d+\.?\d*)L/, (_, x, y) => `M${x} ${+y + 0.5}L`),
    ],
    ['another number on an axis', kept.replace('>0.8<', '>0.9<')],
    ['another colour', kept.replace('#1f4b99', '#1f4b9a')],
    ['a missing line', kept.replace(/<path[^>]*\/>/, '')],
  ])('%s', (_, drawn) => {
    expect(drawn).not.toBe(kept);
    expect(svgDiffers(kept, drawn)).not.toEqual([]);
  });

  test('not what no one sees', () => {
    expect(
      svgDiffers(
        kept,
        kept.replace(/M(\d+\.?\d*) /, (_, x) => `M${+x + 0.02} `),
      ),
    ).toEqual([]);
  });
});

/** A picture read as a person reads it: places by the numbers on its axes, from what is drawn and nothing else. */
function reader(name: string) {
  const elements = elementsOf(keptSvg(name));
  const value = (text: string) => {
    const power = /^10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)$/.exec(text)?.[1];
    const plain = [...(power ?? text)].map((c) => '⁰¹²³⁴⁵⁶⁷⁸⁹'.indexOf(c)).join('');
    if (power) return 10 ** (power.startsWith('⁻') ? -Number(plain.slice(2)) : Number(plain));
    return Number(text.replace('−', '-'));
  };
  const along = (anchor: string, attribute: string, shift: number, map: (v: number) => number) => {
    const ticks = elements
      .filter(
        ({ tag, attributes, text }) =>
          tag === 'text' &&
          attributes['text-anchor'] === anchor &&
          /^−?[\d.]+$|^10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+$/.test(text) &&
          attributes['font-size'] === '12.5' &&
          !attributes.stroke,
      )
      .map(({ attributes, text }) => ({
        at: Number(attributes[attribute]) - shift,
        value: map(value(text)),
      }));
    const [first, last] = [ticks[0], ticks[ticks.length - 1]];
    const unit = (last.at - first.at) / (last.value - first.value);
    // All numbers of an axis stand where its first and its last say.
    for (const tick of ticks)
      expect(tick.at).toBeCloseTo(first.at + (tick.value - first.value) * unit, 1);
    return (place: number) => first.value + (place - first.at) / unit;
  };
  /** Points of the longest path of a colour. */
  const curve = (colour: string, log = false) => {
    const x = along('middle', 'x', 0, (v) => v);
    const y = along('end', 'y', 4.4, log ? Math.log10 : (v) => v);
    const paths = elements.filter(
      ({ tag, attributes }) => tag === 'path' && attributes.stroke === colour,
    );
    const path = paths.map(({ attributes }) => attributes.d).sort((a, b) => b.length - a.length)[0];
    return [...path.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, px, py]) => ({
      x: x(+px),
      y: log ? 10 ** y(+py) : y(+py),
    }));
  };
  return { elements, along, curve };
}

const lowest = (points: { x: number; y: number }[], from: number, to: number) =>
  points.filter(({ x }) => x > from && x < to).reduce((a, b) => (b.y < a.y ? b : a));
const highest = (points: { x: number; y: number }[], from: number, to: number) =>
  points.filter(({ x }) => x > from && x < to).reduce((a, b) => (b.y > a.y ? b : a));

describe('what is read off a picture is what the trade has (common practice, no source)', () => {
  test('one slit of 40 µm at 550 nm is dark at λ/a; two and three slits 100 µm apart at λ/2d and λ/3d', () => {
    const { curve } = reader('pattern');
    const [one, two, three] = ['#1f4b99', '#8a4b08', '#1e6b3c'].map((colour) => curve(colour));
    for (const [points, dark] of [
      [one, 13.75],
      [two, 2.75],
      [three, 5.5 / 3],
    ] as const) {
      const found = lowest(points, 0.5, dark + 1);
      expect(found.x).toBeCloseTo(dark, 0);
      expect(found.y).toBeLessThan(0.003);
    }
    // Order 1 lies under the slit's own curve, sinc²(0.4) = 0.573, drawn a little inwards and so a little higher.
    expect(Math.abs(highest(three, 4, 7).y - 0.58)).toBeLessThan(0.02);
    expect(highest(three, -0.2, 0.2).y).toBeCloseTo(1, 2);
  });

  test('four slits on a logarithmic axis: order 1 at λf/d = 1.65 mm and 0.573 high, two humps of 0.06 before it', () => {
    const points = reader('pattern, logarithmic').curve('#1f4b99', true);
    const first = highest(points, 1.4, 1.9);
    expect(Math.abs(first.x - 1.65)).toBeLessThan(0.06);
    expect(Math.abs(first.y - 0.58)).toBeLessThan(0.02);
    // 0.0741 of the orders' height, times the slit's own curve at 0.36 and 0.64 of the way to order 1.
    expect(Math.abs(highest(points, 0.45, 0.8).y - 0.069)).toBeLessThan(0.003);
    expect(Math.abs(highest(points, 0.85, 1.2).y - 0.059)).toBeLessThan(0.003);
  });

  test('the strongest lines of mercury stand at 404.7, 435.8 and 546.1 nm', () => {
    const { elements, along } = reader('spectrum of mercury');
    const x = along('middle', 'x', 0, (v) => v);
    const sticks = elements.filter(({ attributes }) => attributes['stroke-width'] === '2.2');
    const places = sticks.map(({ attributes }) => x(Number(/^M([\d.]+)/.exec(attributes.d)![1])));
    // In air; data/SOURCES.md names the table.
    for (const line of [404.66, 435.83, 546.07, 576.96, 579.07])
      expect(Math.min(...places.map((place) => Math.abs(place - line)))).toBeLessThan(0.3);
  });

  test('the sum of four arrows turned by 2πds/λ has the length of sin 4φ/(4 sin φ) · sinc', () => {
    const { elements, along } = reader('phasors');
    const x = along('middle', 'x', 0, (v) => v);
    const dashed = elements.filter(({ attributes }) => attributes.stroke === '#8a4b08').at(-1)!;
    const [from, to] = [.../[ML].*/.exec(dashed.attributes.d)![0].matchAll(/[ML](-?[\d.]+)/g)].map(
      ([, at]) => x(+at),
    );
    const [phi, beta] = [Math.PI * 1e-4, Math.PI * 4e-5].map(
      (length) => (length * 0.0009) / 550e-9,
    );
    const sum = (Math.sin(4 * phi) / (4 * Math.sin(phi))) * (Math.sin(beta) / beta);
    expect(to - from).toBeCloseTo(sum, 2);
  });

  test('three slits in red light of 632.8 nm: orders at λf/d = 1.90 mm, dark at λf/3d = 0.63 mm, nothing white', () => {
    const { width, data } = decode(readFileSync(`${folder}strip-burnt-out.png`));
    // 1201 positions from edge to edge of the film, whose length is 2 f tan(asin(1.9 · 550 nm/40 µm)).
    const span = 600 * Math.tan(Math.asin((1.9 * 550e-9) / 40e-6));
    const red = (mm: number) => data[3 * Math.round((mm / span + 0.5) * (width - 1))];
    expect([red(0), red(1.898), red(-1.898)]).toEqual([255, 255, 255]);
    expect(red(0.633)).toBeLessThan(20);
    expect(red(-1.265)).toBeLessThan(20);
    for (let i = 0; i < width; i++) expect(data[3 * i + 1]).toBeLessThanOrEqual(data[3 * i] / 4);
  });
});
