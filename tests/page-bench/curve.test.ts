import { expect, test } from 'vitest';
import { changed } from '../../kernel-lib/figures/bench/change';
import { benchPattern } from '../../kernel-lib/figures/bench/compute';
import type { Layers } from '../../kernel-lib/figures/bench/layers';
import { type BenchSetting, startSetting } from '../../kernel-lib/figures/bench/setting';
import { type CurveLook, drawCurve } from '../../kernel-lib/page/bench/draw-curve';

const look: CurveLook = {
  ...{ ink: 'ink', soft: 'soft', rule: 'rule', ghost: 'ghost', blue: 'blue' },
  ...{ envelope: 'envelope', paper: 'paper' },
  ...{ font: 'sans-serif', letters: 13, thick: 1.8 },
};
const frame = { width: 388, height: 226, left: 44, right: 44 };
const [top, base] = [20, 200];

/** A canvas that keeps what is drawn: the points of each line by its colour, and the words. */
function drawn(
  setting: Partial<BenchSetting>,
  before?: Partial<BenchSetting>,
  width = frame.width,
  layers?: Layers,
) {
  const lines: Record<string, [x: number, y: number][]> = {};
  const words: { text: string; x: number; y: number }[] = [];
  const context: Record<string, unknown> = {
    strokeStyle: '',
    moveTo: (x: number, y: number) => add(x, y),
    lineTo: (x: number, y: number) => add(x, y),
    fillText: (text: string, x: number, y: number) => words.push({ text, x, y }),
  };
  const add = (x: number, y: number) => {
    const colour = String(context.strokeStyle);
    lines[colour] ??= [];
    lines[colour].push([x, y]);
  };
  for (const name of [
    'clearRect',
    'beginPath',
    'stroke',
    'save',
    'rect',
    'arc',
    'clip',
    'restore',
    'setLineDash',
  ])
    context[name] = () => {};
  const [pattern, ghost] = [setting, before].map(
    (change) => change && benchPattern(changed(startSetting, change)),
  );
  drawCurve(
    context as unknown as CanvasRenderingContext2D,
    { ...frame, width },
    look,
    pattern!,
    ghost,
    layers,
  );
  return { lines, words };
}

/** Height of a line near a place of the plot, as a share of the plot. */
function peak(line: [number, number][], at: number, within = 4): number {
  const near = line.filter(([x]) => Math.abs(x - at) <= within);
  return (base - Math.min(...near.map(([, y]) => y))) / (base - top);
}

const plot = 300;
const pixel = (x: number, wide = plot) => 44 + (x / 16e-3 + 0.5) * wide;

test.each(['laser', 'sodium', 'filament'] as const)(
  'of 50 slits in %s the middle is drawn to the top, however few pixels there are',
  (light) => {
    const { lines } = drawn({ light, slits: 50 });
    expect(peak(lines.ink, pixel(0))).toBeCloseTo(1, 6);
  },
);

test('no order of 50 slits is lost between points: each is as high as one slit’s pattern there', () => {
  const { lines } = drawn({ light: 'laser', slits: 50 });
  const { lines: white } = drawn({ light: 'filament', slits: 50 });
  for (const m of [-4, -3, -2, -1, 1, 2, 3, 4]) {
    // In order m the slits agree, so what is left is sinc²(m a/d) of one, a/d = 0.4 (common practice, no source).
    const one = (Math.sin(0.4 * Math.PI * m) / (0.4 * Math.PI * m)) ** 2;
    const place = (wavelength: number) =>
      pixel(0.3 * Math.tan(Math.asin((m * wavelength) / 100e-6)));
    expect(peak(lines.ink, place(632.8e-9))).toBeGreaterThan(0.96 * one);
    expect(peak(lines.ink, place(632.8e-9))).toBeLessThan(1.001 * one + 1e-6);
    expect(peak(white.blue, place(550e-9))).toBeGreaterThan(0.95 * one);
  }
});

test('counted against one slit the scale ends at N², and the pattern before stands below at its own height', () => {
  const { lines, words } = drawn(
    { light: 'laser', slits: 4, absolute: true },
    { light: 'laser', slits: 2, absolute: true },
  );
  expect(peak(lines.ink, pixel(0))).toBeCloseTo(1, 6);
  expect(peak(lines.ghost, pixel(0))).toBeCloseTo(4 / 16, 6);
  const labels = words.filter(({ x }) => x < 44).map(({ text }) => text);
  expect(labels).toEqual(['0', '5', '10', '15']);
  const log = drawn({ light: 'laser', slits: 4, absolute: true, scale: 'log' });
  const decades = log.words.filter(({ x }) => x < 44).map(({ text }) => text);
  expect(decades).toEqual(['10²', '10¹', '1', '10⁻¹', '10⁻²']);
});

test('orders stand where the light’s own wavelength puts them', () => {
  const first = (setting: Partial<BenchSetting>) =>
    drawn(setting, undefined, 988).words.find(({ text, y }) => text === '1' && y < top)!.x;
  // x = f tan θ, sin θ = λ/d: worked by hand for d = 100 µm, f = 300 mm.
  expect(first({ filter: true, bandCentre: 650e-9 })).toBeCloseTo(pixel(1.95004e-3, 900), 1);
  expect(first({ light: 'laser', wavelength: 445e-9 })).toBeCloseTo(pixel(1.33501e-3, 900), 1);
  expect(first({ light: 'sodium' })).toBeCloseTo(pixel(1.76702e-3, 900), 1);
});

test('layers are drawn only where they are switched on, at the places of their own', () => {
  const setting = { slits: 3, width: 40e-6, spacing: 80e-6, light: 'filament' } as const;
  const before = { ...setting, slits: 2 };
  const without = drawn(setting, before, 988, new Set());
  expect([without.lines.ghost, without.lines.envelope]).toEqual([undefined, undefined]);
  const { lines, words } = drawn(setting, before, 988, new Set(['missing', 'wavelengths']));
  // a : d is 1 : 2, so orders ±2 of 550 nm are missing: x = f tan θ, sin θ = 2 · 550 nm / 80 µm, worked by hand: 4.12539 mm.
  const middles = lines.envelope
    .map(([x], i) => (i % 2 === 0 ? (x + lines.envelope[i + 1][0]) / 2 : 0))
    .filter((x) => x > 0);
  expect(middles.map((x) => x.toFixed(1))).toEqual(
    [-4.12539e-3, 4.12539e-3].map((place) => pixel(place, 900).toFixed(1)),
  );
  const names = words.filter(({ text }) => text.endsWith(' nm')).map(({ text }) => text);
  expect(names).toEqual(['450 nm', '650 nm']);
});
