import { expect, test } from 'vitest';
import { vernierFigure } from '../../kernel-lib/figures/vernier-figure';
import { seeded } from '../../kernel-lib/numerics/random';

const second = Math.PI / 648000;

interface Lines {
  x: (number | null)[];
  y: (number | null)[];
}

/** All upright lines; each row's border, one stroke lying down, is left out. */
function linesOf(figure: ReturnType<typeof vernierFigure>): Lines {
  const traces = (figure.plotly.data as unknown as Lines[]).filter(({ y }) => y[0] !== y[1]);
  return { x: traces.flatMap(({ x }) => x), y: traces.flatMap(({ y }) => y) };
}

/**
 * Reads the drawing as a person does: in the picture only, find the rising and hanging lines, the degree
 * labels and the vernier's zero, and the hanging line that best continues a rising one.
 */
function readDrawing(
  figure: ReturnType<typeof vernierFigure>,
  division: number,
  divisions: number,
): number {
  const lines = linesOf(figure);
  const texts = figure.plotly.layout.annotations as { text: string; x: number; y: number }[];
  const rows = (figure.plotly.layout.yaxis as { range: number[] }).range[1];
  const strokes: { x: number; up: boolean; row: number }[] = [];
  for (let i = 0; i < lines.x.length; i += 3) {
    const [x, y0, y1] = [lines.x[i]!, lines.y[i]!, lines.y[i + 1]!];
    strokes.push({ x, up: y1 > y0, row: rows - 1 - Math.floor(y0) });
  }
  const perRow = Math.ceil(divisions / Math.ceil(divisions / 15));
  let best = { gap: Number.POSITIVE_INFINITY, line: -1 };
  for (let row = 0; row < rows; row++) {
    const rising = strokes.filter((s) => s.up && s.row === row);
    const hanging = strokes.filter((s) => !s.up && s.row === row).sort((a, b) => a.x - b.x);
    hanging.forEach(({ x }, k) => {
      const gap = Math.min(...rising.map((s) => Math.abs(s.x - x)));
      // The last line of a full turn meets a main line whenever the zero does; the zero counts.
      if (gap < best.gap - 1e-6) best = { gap, line: row * perRow + k };
    });
  }
  const zero = strokes.filter((s) => !s.up && s.row === 0).sort((a, b) => a.x - b.x)[0].x;
  const main = strokes
    .filter((s) => s.up && s.row === 0 && s.x <= zero + 1e-6)
    .sort((a, b) => b.x - a.x)[0];
  const label = texts.find((t) => t.text.endsWith('°') && Math.floor(t.y) === rows - 1)!;
  const before = Number.parseInt(label.text, 10) * 3600 + (main.x - label.x) * division;
  return before + (best.line * division) / divisions;
}

const kinds = [
  { least: 60, division: 1800 },
  { least: 30, division: 1200 },
  { least: 20, division: 1200 },
  { least: 10, division: 600 },
];

test.each(kinds)(
  'the drawing reads the angle it was set to, least count $least″',
  ({ least, division }) => {
    const random = seeded(`vernier ${least}`);
    for (let n = 0; n < 40; n++) {
      const seconds = Math.floor(random.uniform() * (1296000 / least)) * least;
      const figure = vernierFigure(seconds * second, { leastCount: least * second });
      const read = readDrawing(figure, division, division / least);
      expect((((read - seconds) % 1296000) + 1296000 + 0.5) % 1296000, `${seconds}″`).toBeCloseTo(
        0.5,
        2,
      );
    }
  },
);

test('the lines stand as far apart as a step can be seen', () => {
  for (const { least } of kinds) {
    const figure = vernierFigure(1, { leastCount: least * second });
    const range = (figure.plotly.layout.xaxis as { range: number[] }).range;
    // One division in the static picture, 520 wide less margins.
    expect(490 / (range[1] - range[0])).toBeGreaterThan(22);
  }
});

test('the magnifier shows only the neighbourhood of the line asked for', () => {
  const figure = vernierFigure((12 + 47 / 60) * 3600 * second, { magnify: 17 });
  const lines = linesOf(figure);
  const hanging = lines.x.filter((_, i) => i % 3 === 1 && lines.y[i]! < 0.5).length;
  expect(hanging).toBe(7);
  expect(() => vernierFigure(1, { magnify: 31 })).toThrow('numbered from 0 to 30');
});

/**
 * The reading of one who has nothing but the words: tenths of the way between two lines with numbers give the
 * division of the circle, the way that each vernier line stands past a line of the circle gives the vernier line.
 */
function readWords(alt: string, division: number, divisions: number): number {
  const [, degree, tenths] = alt.match(/between (\d+)° and \d+°, about (\d+) tenths/) ?? [];
  const from = Number(degree) * 3600;
  const fractions = [...alt.matchAll(/line (\d+) by (\d\.\d\d)/g)].map(([, line, by]) => [
    +line,
    +by,
  ]);
  expect(fractions.length).toBeGreaterThan(2);
  // Each vernier division is one n-th of a division short, so line k stands past its neighbour by (r − k)/n.
  const candidates = Array.from({ length: divisions }, (_, r) => r);
  const misses = (r: number) =>
    fractions.reduce((sum, [line, by]) => {
      const whole = (r - line) / divisions - by;
      return sum + Math.abs(whole - Math.round(whole));
    }, 0);
  const vernier = candidates.reduce((a, b) => (misses(b) < misses(a) ? b : a));
  const step = division / divisions;
  const about = from + (Number(tenths) / 10) * 3600;
  const settings = Array.from({ length: 60 }, (_, k) => from + k * division + vernier * step);
  return settings.reduce((a, b) => (Math.abs(b - about) < Math.abs(a - about) ? b : a));
}

test.each(kinds)(
  'the words alone read the angle, too, least count $least″',
  ({ least, division }) => {
    const random = seeded(`words ${least}`);
    for (let n = 0; n < 40; n++) {
      const seconds = Math.floor(random.uniform() * (1296000 / least)) * least;
      const { alt } = vernierFigure(seconds * second, { leastCount: least * second });
      expect(readWords(alt, division, division / least) % 1296000, alt).toBeCloseTo(seconds, 2);
    }
  },
);

test('the words do not give the reading away: neither the line of the circle nor the one that meets', () => {
  const { alt } = vernierFigure((12 + 47 / 60) * 3600 * second);
  expect(alt).not.toMatch(/12° 30′/);
  expect(alt).not.toMatch(/\b17\b/);
  expect(alt).not.toMatch(/meets/);
  expect(alt).not.toContain('47');
});

test('every number of the circle stands whole in the picture', () => {
  // DejaVu Sans, which Debian's Chromium takes here: a digit is 0.636 em wide, ° 0.5 em (its advance widths).
  const half = (text: string) => (text.replace('°', '').length * 0.636 + 0.5) * 0.5 * 13;
  const random = seeded('where numbers stand');
  for (let n = 0; n < 60; n += 1) {
    const { svg } = vernierFigure(random.whole(21600) * 60 * second);
    const texts = [...svg.matchAll(/<text[^>]* x="([-\d.]+)"[^>]*>(\d+°)</g)];
    expect(texts.length).toBeGreaterThan(10);
    const [, left, width] = /<svg x="([-\d.]+)"[^>]* width="([-\d.]+)"/.exec(svg)!.map(Number);
    for (const [, x, text] of texts) {
      expect(Number(x) - half(text), `${n} ${text}`).toBeGreaterThanOrEqual(left);
      expect(Number(x) + half(text), `${n} ${text}`).toBeLessThanOrEqual(left + width);
    }
  }
});
