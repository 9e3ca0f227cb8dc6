import { expect, test } from 'vitest';
import { type Chart, look, styleOf } from '../../kernel-lib/figures/chart';
import { toSvg } from '../../kernel-lib/figures/svg/to-svg';

const axis = (quantity: string, range: readonly [number, number]) => ({
  quantity,
  unit: 'mm',
  range,
});
const chart = (more: Partial<Chart> = {}): Chart => ({
  kind: 'plot',
  alt: 'One line.',
  x: axis('x', [0, 10]),
  panels: [
    {
      height: 100,
      y: axis('y', [0, 1]),
      layers: [{ type: 'line', x: [0, 5, 10], y: [0, 1, 0.5], style: styleOf(0) }],
    },
  ],
  ...more,
});

/** The frame of the panel and the points of its line, in picture units. */
function drawn(svg: string) {
  const [, x, y, width, height] =
    /<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" fill="none"/
      .exec(svg)!
      .map(Number);
  const path = /<path d="(M[^"]+)" fill="none" stroke="#1f4b99"/.exec(svg)![1];
  const points = [...path.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((m) => [
    Number(m[1]),
    Number(m[2]),
  ]);
  return { x, y, width, height, points };
}

test('a value stands where its axis says', () => {
  const { x, y, width, height, points } = drawn(toSvg(chart()));
  expect(points[0]).toEqual([x, y + height]);
  expect(points[1][0]).toBeCloseTo(x + width / 2, 1);
  expect(points[1][1]).toBeCloseTo(y, 1);
  expect(points[2][0]).toBeCloseTo(x + width, 1);
  expect(points[2][1]).toBeCloseTo(y + height / 2, 1);
});

test('a logarithmic axis gives every decade the same room', () => {
  const panel = {
    height: 120,
    y: { ...axis('y', [1e-3, 1]), log: true },
    layers: [{ type: 'line' as const, x: [0, 1, 2], y: [0.1, 0.01, 0], style: styleOf(0) }],
  };
  const { y, height, points } = drawn(toSvg(chart({ panels: [panel] })));
  expect(points[0][1]).toBeCloseTo(y + height / 3, 1);
  expect(points[1][1]).toBeCloseTo(y + (2 * height) / 3, 1);
  // Zero has no logarithm: it is drawn below the panel, whose edge cuts it off.
  expect(points[2][1]).toBeGreaterThan(y + height);
});

test('a value that is not a number lifts the pen', () => {
  const broken = {
    type: 'line' as const,
    x: [0, 1, 2, 3],
    y: [0, Number.NaN, 1, 1],
    style: styleOf(0),
  };
  const svg = toSvg(chart({ panels: [{ ...chart().panels[0], layers: [broken] }] }));
  expect(/d="(M[^"]+)" fill="none" stroke="#1f4b99"/.exec(svg)![1].match(/M/g)).toHaveLength(2);
  expect(svg).not.toContain('NaN');
});

test('equal scales make one unit as long upwards as along', () => {
  const svg = toSvg(chart({ equalScales: true }));
  const { points } = drawn(svg);
  const across = (points[2][0] - points[0][0]) / 10;
  const up = (points[0][1] - points[1][1]) / 1;
  expect(across).toBeCloseTo(up, 1);
});

test('names and titles are text, whatever is typed into them', () => {
  const line = {
    ...chart().panels[0].layers[0],
    name: '<img src=x onerror=alert(1)> & "mine"',
  } as never;
  const svg = toSvg(
    chart({
      alt: '"quoted" <b>.',
      title: '<script>',
      panels: [{ height: 100, y: axis('</svg><script>', [0, 1]), layers: [line] }],
    }),
  );
  expect(svg).not.toMatch(/<script|<img|<b>/);
  expect(svg.match(/<\/svg>/g)).toHaveLength(2);
  expect(svg).toContain('aria-label="&quot;quoted&quot; &lt;b&gt;."');
});

test('ink stands out from paper, and labels from film', () => {
  const luminance = (hex: string) => {
    const [r, g, b] = hex
      .match(/[\da-f]{2}/g)!
      .map((c) => Number.parseInt(c, 16) / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a: string, b: string) => {
    const [low, high] = [luminance(a), luminance(b)].sort((p, q) => p - q);
    return (high + 0.05) / (low + 0.05);
  };
  // Contrast and the bound 4.5:1 for text as WCAG 2 defines them; both from memory.
  for (const ink of [look.ink, look.soft, look.blue, look.brown])
    expect(contrast(ink, look.paper)).toBeGreaterThan(4.5);
  for (let n = 0; n < 5; n++) expect(contrast(styleOf(n).colour, '#ffffff')).toBeGreaterThan(4.5);
  expect(contrast(look.onFilm, look.film)).toBeGreaterThan(4.5);
});
