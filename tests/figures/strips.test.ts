import { decode } from 'fast-png';
import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import type { FilmStrip } from '../../kernel-lib/camera/film';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import { filmStripPicture, stripFigure } from '../../kernel-lib/figures/film-strip-picture';
import { lettering } from '../../kernel-lib/figures/png/raster';
import { stackedStrips } from '../../kernel-lib/figures/stacked-strips';
import { filtered, passband } from '../../kernel-lib/light/filtered';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { laser } from '../../kernel-lib/light/lamp';
import type { Light } from '../../kernel-lib/light/light';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { strip, strip4 } from './samples';

const count = strip.positions.length;

/** The pixels of the picture inside an SVG or plotly figure. */
function embedded(address: string) {
  return decode(Buffer.from(address.replace('data:image/png;base64,', ''), 'base64'));
}

test('the PNG has one pixel for each position and each row is the strip itself', () => {
  const picture = decode(filmStripPicture(strip, { height: 20 }).png!);
  expect([picture.width, picture.height, picture.channels]).toEqual([count, 20, 3]);
  for (const row of [0, 19]) {
    const pixels = picture.data.slice(row * count * 3, (row + 1) * count * 3);
    expect(Buffer.from(pixels).equals(Buffer.from(strip.srgb))).toBe(true);
  }
});

test('the live and the static picture carry the same pixels, edge to edge on the axis', () => {
  const figure = filmStripPicture(strip);
  const [image] = figure.plotly.layout.images as { source: string; x: number; sizex: number }[];
  const href = /href="([^"]+)"/.exec(figure.svg)![1];
  expect(image.source).toBe(href);
  expect(Buffer.from(embedded(href).data).equals(Buffer.from(strip.srgb))).toBe(true);
  const step = (strip.positions[count - 1] - strip.positions[0]) / (count - 1);
  expect(image.x).toBeCloseTo((strip.positions[0] - step / 2) * 1e3, 9);
  expect(image.sizex).toBeCloseTo(count * step * 1e3, 9);
});

test('along an angle each pixel still shows the direction that the axis says', () => {
  const wide = {
    ...strip,
    s: strip.s.map((v) => v * 30),
    positions: strip.s.map((v) => Math.tan(Math.asin(v * 30))),
  };
  const figure = filmStripPicture(wide, { along: 'sine' });
  const [image] = figure.plotly.layout.images as { source: string; x: number; sizex: number }[];
  const { data } = embedded(image.source);
  for (const pixel of [100, 300, 500, 900]) {
    const s = (image.x + ((pixel + 0.5) / count) * image.sizex) / 1e3;
    const nearest = wide.s.reduce(
      (best, v, i) => (Math.abs(v - s) < Math.abs(wide.s[best] - s) ? i : best),
      0,
    );
    expect([...data.slice(3 * pixel, 3 * pixel + 3)]).toEqual([
      ...strip.srgb.slice(3 * nearest, 3 * nearest + 3),
    ]);
  }
});

test('curve and strip share one axis', () => {
  const { data, layout } = stripFigure(strip).plotly;
  const curve = data[0] as { x: number[]; y: number[]; xaxis: string };
  const middle = curve.y.indexOf(Math.max(...curve.y));
  expect(curve.x[middle]).toBeCloseTo(0, 1);
  expect(curve.xaxis).toBe('x');
  expect((layout.images as { xref: string; yref: string }[])[0]).toMatchObject({
    xref: 'x',
    yref: 'y2',
  });
});

test('stacked strips keep order, labels and pixels in the PNG', () => {
  const figure = stackedStrips(
    [
      { label: '2 slits', strip },
      { label: '4 slits', strip: strip4 },
    ],
    { height: 30 },
  );
  const { width, data } = decode(figure.png!);
  const find = (srgb: Uint8ClampedArray) =>
    Buffer.from(data as Uint8Array).indexOf(Buffer.from(srgb));
  const [first, second] = [find(strip.srgb), find(strip4.srgb)];
  expect(first).toBeGreaterThan(0);
  expect(second - first).toBe(3 * width * 35);
  expect((figure.plotly.layout.yaxis as { ticktext: string[] }).ticktext).toEqual([
    '2 slits',
    '4 slits',
  ]);
  expect(figure.alt).toContain('2 film strips from top to bottom, 2 slits and 4 slits');
});

test('every sign of labels and axis titles can be lettered', () => {
  const signs =
    'position on the film x (mm) angle θ (mrad) direction s = sin θ − sin θi (10⁻³) (°) 40 µm 0123456789,';
  const box = lettering('\u0000', 10).strokes;
  for (const sign of new Set(signs.replaceAll(' ', ''))) {
    const { strokes, width } = lettering(sign, 10);
    expect(strokes, sign).not.toEqual(box);
    expect(Number.isFinite(width), sign).toBe(true);
    for (const [x, y] of strokes.flat()) {
      expect(x, sign).toBeGreaterThanOrEqual(-0.5);
      expect(y, sign).toBeGreaterThanOrEqual(-4);
      expect(y, sign).toBeLessThanOrEqual(11);
    }
  }
});

test('refuses what is not a strip, strips over other positions, odd heights', () => {
  expect(() => filmStripPicture({} as never)).toThrow('This is not a film strip');
  expect(() => filmStripPicture(strip, { height: 0 })).toThrow('from 1 to 4000');
  expect(() => stackedStrips([])).toThrow('was given no strips');
  const shifted = { ...strip, positions: strip.positions.map((x) => 2 * x) };
  expect(() =>
    stackedStrips([
      { label: 'one', strip },
      { label: 'two', strip: shifted },
    ]),
  ).toThrow('The strip "two" runs over other positions than "one"');
});

test('what is burnt out has a line above it, in the PNG, the live and the static picture', () => {
  const aperture = slits(3, { width: 40e-6, spacing: 100e-6 });
  const options = { focalLength: 0.3, span: 16e-3 };
  const [plain, long] = [1, 4].map((exposure) =>
    filmStrip(aperture, laser(632.8e-9), { ...options, exposure }),
  );
  const strips = [
    { label: 'plain', strip: plain },
    { label: 'long', strip: long },
  ];
  const figure = stackedStrips(strips, { height: 30 });
  const { width, height, data } = decode(figure.png!);
  const orange = new Set<number>();
  const middle = (x: number) => width - count - Math.round(count / 75) + x;
  for (let y = 0; y < height; y++) {
    const at = 3 * (y * width + middle((count - 1) / 2));
    const [r, g, b] = data.slice(at, at + 3);
    if (r > 150 && g > 80 && g < 180 && b < 90) orange.add(y);
  }
  // Two rows above the second strip, which begins 10 + 35 rows down; none above the first.
  expect([...orange]).toEqual([42, 43]);
  const traces = figure.plotly.data as { name?: string; x: number[] }[];
  const line = traces.find(({ name }) => name === 'burnt out')!;
  // Three slits: 1/4 of the middle at s = 1.318 λ/(2π d), 0.398 mm at f = 300 mm; one slit's pattern is 0.977 there.
  const near = line.x.filter((x) => x !== null && Math.abs(x) < 0.7);
  expect(Math.min(...near)).toBeCloseTo(-0.395, 2);
  expect(Math.max(...near)).toBeCloseTo(0.395, 2);
  expect(figure.svg).toContain('burnt out');
  expect(stackedStrips(strips.slice(0, 1)).svg).not.toContain('burnt out');
});

test('the pointer is told of lines narrower than its own steps', () => {
  // 50 slits: order 1 is 4 positions wide, and one position in 7 is told.
  const narrow = filmStrip(slits(50, { width: 40e-6, spacing: 100e-6 }), laser(632.8e-9), {
    ...{ focalLength: 0.3, span: 16e-3 },
  });
  const told = (filmStripPicture(narrow).plotly.data as { text?: string[] }[]).find(
    ({ text }) => text !== undefined,
  )!.text!;
  const totals = told.map((text) => Number(text.split('total ')[1]));
  // Order 0 is 1, order ±1 is sinc²(0.4) = 0.573 (common practice, no source).
  expect(totals.filter((total) => total > 0.95)).toHaveLength(1);
  expect(totals.filter((total) => total > 0.5)).toHaveLength(3);
});

describe('what can hurt where such strips are shown for real stands in their sentence', () => {
  const two = slits(2, { width: 40e-6, spacing: 100e-6 });
  const of = (light: Light) => filmStrip(two, light, { focalLength: 0.3, points: 101 });
  const lamp = of(illuminant('A'));
  const sun = of(sunlight());
  const filteredSun = of(filtered(sunlight(), passband(550e-9, 20e-9)));
  const stack = (...strips: FilmStrip[]) =>
    stackedStrips(strips.map((each, n) => ({ label: `strip ${n}`, strip: each }))).alt;
  /** The sun, eyes and lenses, and who decides: what every caution of this project says. */
  const caution = /sunlight behind a lens.*blinds.*nobody looks.*safety officer decide\.$/;

  test('of sunlight, behind a filter or among others, once', () => {
    for (const alt of [
      stack(sun),
      stack(filteredSun, lamp),
      stack(lamp, sun),
      stack(sun, filteredSun, sun),
      filmStripPicture(sun).alt,
    ]) {
      expect(alt).toMatch(caution);
      expect(alt.match(/safety officer/g)).toHaveLength(1);
    }
  });

  test('not of a filament lamp', () => {
    for (const alt of [stack(lamp, lamp), filmStripPicture(lamp).alt])
      expect(alt).not.toMatch(/sunlight|safety officer/);
  });
});
