import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { phasors } from '../../kernel-lib/aperture/phasors';
import { chromaticityPath } from '../../kernel-lib/figures/chromaticity-path';
import type { Figure } from '../../kernel-lib/figures/figure';
import { type FitSummary, fitPlot } from '../../kernel-lib/figures/fit-plot';
import { linePlot } from '../../kernel-lib/figures/line-plot';
import { nearToFar } from '../../kernel-lib/figures/near-to-far';
import { phasorPolygon } from '../../kernel-lib/figures/phasor-polygon';
import { spectralColour, spectrumPlot } from '../../kernel-lib/figures/spectrum-plot';
import { fitLine } from '../../kernel-lib/fitting/fit-line';
import { passband } from '../../kernel-lib/light/filtered';
import { lamp } from '../../kernel-lib/light/lamp';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { measured } from '../../kernel-lib/quantity/measured';
import { samples, strip } from './samples';

interface Trace {
  x: number[];
  y: number[];
  name?: string;
  mode?: string;
  error_y?: { array: number[] };
  error_x?: { array: number[] };
}
const traces = (figure: Figure) => figure.plotly.data as unknown as Trace[];
const axes = { x: { quantity: 'distance', unit: 'mm' }, y: { quantity: 'angle', unit: 'deg' } };

test('a plot prints SI values in the unit of its axes, uncertainties too', () => {
  const figure = linePlot(
    { x: [0.001, 0.002], y: [Math.PI, Math.PI / 2], uy: Math.PI / 180, ux: 1e-4 },
    axes,
  );
  const [points] = traces(figure);
  expect(points.x).toEqual([1, 2]);
  expect(points.y).toEqual([180, 90]);
  expect(points.error_y!.array).toEqual([1, 1]);
  expect(points.error_x!.array).toEqual([0.1, 0.1]);
  expect((figure.plotly.layout.yaxis as { title: { text: string } }).title.text).toBe('angle (°)');
});

test('a unit that the library does not know is printed as given', () => {
  const figure = linePlot(
    { x: [1, 2], y: [3, 4] },
    { ...axes, y: { quantity: 'signal', unit: 'counts' } },
  );
  expect(traces(figure)[0].y).toEqual([3, 4]);
  expect(figure.alt).toContain('signal (counts)');
});

test('measured values bring their error bars', () => {
  const y = [measured(0.1, 0.01), measured(0.2, 0.02)];
  const figure = linePlot({ x: [0, 1], y }, { ...axes, y: { quantity: 'y', unit: '1' } });
  expect(traces(figure)[0].error_y!.array).toEqual([0.01, 0.02]);
});

test('a plot refuses an axis without unit and lists that do not match', () => {
  expect(() => linePlot({ x: [1], y: [1] }, { x: axes.x, y: { quantity: 'y' } as never })).toThrow(
    'The y axis needs a quantity and a unit',
  );
  expect(() => linePlot({ x: [1, 2], y: [1] }, axes)).toThrow('y must have 2 values, but has 1');
  expect(() => linePlot({ x: [1, 2], y: [1, 2], uy: [1] }, axes)).toThrow(
    'the uncertainty of y must have 2 values, but has 1',
  );
  expect(() => linePlot([], axes)).toThrow('was given no series');
});

test('a fit shows the curve, and residuals in units of u', () => {
  const data = { x: [0.001, 0.002, 0.003], y: [1.1, 1.9, 3], u: 0.05 };
  const figure = fitPlot(data, (x) => 1000 * x, { x: axes.x, y: { quantity: 'y', unit: '1' } });
  const [points, curve, , rests] = traces(figure);
  expect(points.y).toEqual([1.1, 1.9, 3]);
  expect(curve.x[0]).toBe(1);
  expect(curve.y.at(-1)).toBeCloseTo(3, 9);
  expect(rests.y.map((v) => Number(v.toFixed(6)))).toEqual([2, -2, 0]);
  expect(rests.error_y!.array).toEqual([1, 1, 1]);
  expect(figure.alt).toContain('largest residual 2 u');
});

describe('what is said of a fit', () => {
  const data = { x: [1e-3, 2e-3, 3e-3], y: [1, 2, 3], u: 0.1 };
  const plot = (fit: FitSummary, more: object = {}) =>
    fitPlot(data, (x) => 1000 * x, { x: axes.x, y: { quantity: 'y', unit: '1' }, fit, ...more });
  const found = { reducedChiSquare: 1.02, converged: true };
  // 93.2134 µm with u = 0.05 µm is 93.21(5) µm (JCGM 100:2008, 7.2.2, the way 100.021 47(35) g is written there).
  const parameters = [
    { value: 93.2134e-6, u: 0.05e-6 },
    { value: 2990.4, u: 12 },
  ];

  test('its parameters have names and units where the sheet gives them', () => {
    const names = [
      { name: 'spacing', unit: 'um' },
      { name: 'height', unit: 'counts' },
    ];
    expect(plot({ ...found, parameters }, { parameters: names }).alt).toMatch(
      /largest residual 0 u; spacing 93\.21\(5\) µm, height 2990\(12\) counts, reduced χ² 1\.02\.$/,
    );
    expect(plot({ ...found, parameters }).alt).toMatch(
      /; parameters 9\.3213 × 10⁻⁵ ± .* in SI units/,
    );
  });

  test('a straight line and a fit of slits name their own', () => {
    const line = fitLine({ x: [0, 0.01, 0.02], y: [5, 25, 45], u: 0.5 });
    const pixels = { quantity: 'mark', unit: 'cm' };
    const said = plot(line, { x: pixels, y: { quantity: 'place', unit: 'pixels' } }).alt;
    // Twenty pixels a centimetre are 2000 a metre.
    expect(said).toMatch(/; intercept 5\.0\(5\) pixels, slope 2000\(40\) pixels\/m, reduced/);
    const slits = { ...found, names: ['width', 'visibility', 'centre'] };
    const values = [4e-5, 0.9, 1e-3].map((value) => ({ value, u: value / 100 }));
    expect(plot({ ...slits, parameters: values }).alt).toMatch(
      /; width 40\.0\(4\) µm, visibility 0\.900\(9\), centre 1\.000\(10\) mm, reduced/,
    );
  });

  test('one that has not converged says so first, in the figure too', () => {
    const lost = [
      { value: 5e-5, u: Number.POSITIVE_INFINITY },
      { value: 1, u: 0.1 },
    ];
    const names = [
      { name: 'spacing', unit: 'um' },
      { name: 'height', unit: '1' },
    ];
    const message = 'One of them does nothing.';
    const fit = { ...found, parameters: lost, converged: false, message };
    const figure = plot(fit, { parameters: names });
    expect(figure.alt).toMatch(
      /^This fit has not converged: do not use its numbers\. One of them does nothing\. Fit of .* it stopped at spacing 50 µm \(not determined\), height/,
    );
    expect(figure.svg).toContain('This fit has not converged');
    expect(traces(figure)[1].name).toBe('not converged');
  });
});

test('saturated points are drawn apart and have no residual', () => {
  const data = { x: [1, 2, 3, 4], y: [1, 2, 2, 4], saturated: [0, 0, 1, 0] };
  const figure = fitPlot(data, (x) => x, { ...axes, y: { quantity: 'y', unit: '1' } });
  expect(traces(figure).map(({ name, x }) => [name, x.length])).toEqual([
    ['data', 3],
    ['saturated, not fitted', 1],
    ['fit', 1001],
    [undefined, 2],
    [undefined, 3],
  ]);
});

test('thousands of readings become dots that still run over the whole range', () => {
  const x = Array.from({ length: 9000 }, (_, i) => i);
  const [dots] = traces(
    linePlot({ x, y: x }, { x: { quantity: 'n', unit: '1' }, y: { quantity: 'n', unit: '1' } }),
  );
  expect(dots.x.length).toBeLessThanOrEqual(2000);
  expect(dots.x.at(-1)).toBeGreaterThan(8990);
});

test('a fit whose curve is not finite is refused', () => {
  expect(() => fitPlot({ x: [0, 1], y: [0, 1] }, (x) => 1 / x, axes)).toThrow(
    'the fitted curve[0] must be finite, but Infinity',
  );
});

test('the polygon of arrows ends where the dashed sum ends', () => {
  const list = phasors(slits(3, { width: 1e-5, spacing: 5e-5 }), 5e-7, 0.002);
  const figure = phasorPolygon(list);
  const [arrows, sum] = traces(figure);
  expect(arrows.x.at(-2)).toBeCloseTo(sum.x[1], 6);
  expect(arrows.y.at(-2)).toBeCloseTo(sum.y[1], 6);
  expect((figure.plotly.layout.yaxis as { scaleanchor: string }).scaleanchor).toBe('x');
  expect(() => phasorPolygon([] as never)).toThrow('needs a list of phasors');
});

test('three equal arrows that close a triangle sum to nothing', () => {
  // d s/λ = 1/3: the path differences turn the arrows by 120°.
  const list = phasors(slits(3, { width: 1e-5, spacing: 6e-5 }), 6e-7, 1 / 300);
  expect(phasorPolygon(list).alt).toContain('the intensity is 0 of that');
});

test('a spectrum shades its passband at half maximum and names it', () => {
  const figure = spectrumPlot(sunlight(), { through: passband(650e-9, 40e-9) });
  const [shade] = figure.plotly.layout.shapes as { x0: number; x1: number; name: string }[];
  expect(shade.x0).toBeCloseTo(630, 0);
  expect(shade.x1).toBeCloseTo(670, 0);
  const behind = traces(figure).find(({ name }) => name === 'behind the filter')!;
  expect(behind.y[behind.x.findIndex((nm) => nm > 600)]).toBe(0);
  expect(behind.y[behind.x.findIndex((nm) => nm > 649)]).toBeGreaterThan(0.8);
});

test('lamp lines stand as sticks at their wavelengths, the strongest at 1', () => {
  const figure = spectrumPlot(lamp('mercury'));
  const sticks = traces(figure).filter(({ mode }) => mode === 'lines');
  const tops = sticks
    .flatMap(({ x, y }) => x.map((nm, i) => [nm, y[i]]))
    .filter(([, y]) => y > 0.2);
  // The green line of mercury, 546.07 nm in air (data/SOURCES.md names its table).
  expect(tops.some(([nm]) => Math.abs(nm - 546.07) < 0.01)).toBe(true);
  expect(Math.max(...tops.map(([, y]) => y))).toBe(1);
  expect(figure.alt).toContain('546.07');
  expect(() => spectrumPlot(lamp('sodium'), { range: [400e-9, 500e-9] })).toThrow(
    'has nothing between 400 and 500 nm',
  );
  expect(() => spectrumPlot(sunlight(), { range: [700, 400] })).toThrow('in metres');
});

test('colours for strokes stand out from white paper', () => {
  for (let nm = 380; nm <= 780; nm += 10) {
    const [r, g, b] = spectralColour(nm * 1e-9, 0)
      .match(/\d+/g)!
      .map((c) => (Number(c) / 255 + 0.055) / 1.055)
      .map((c) => c ** 2.4);
    // Contrast and the bound 3:1 for graphics as WCAG 2 defines them; both from memory.
    expect(1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05), `${nm} nm`).toBeGreaterThan(3);
  }
});

test('the locus of the colour diagram passes the published points', () => {
  // x and y of 500 and 546 nm, CIE 1931 2° observer, recomputed from the 1 nm table (data/SOURCES.md).
  const lines = traces(chromaticityPath(strip));
  const has = (x: number, y: number) =>
    lines.some((line) =>
      line.x.some((v, i) => Math.abs(v - x) < 1e-4 && Math.abs(line.y[i] - y) < 1e-4),
    );
  expect(has(0.00817, 0.53842)).toBe(true);
  expect(has(0.27296, 0.71806)).toBe(true);
});

test('the path of colours starts at the centre of the strip and names colours', () => {
  const figure = chromaticityPath(strip, { along: 'milliradians' });
  const path = traces(figure).find(({ name }) => name === 'colours of the strip')!;
  const middle = (strip.positions.length - 1) / 2;
  const [X, Y, Z] = strip.xyz.slice(3 * middle, 3 * middle + 3);
  expect(path.x[0]).toBeCloseTo(X / (X + Y + Z), 5);
  expect(path.y[0]).toBeCloseTo(Y / (X + Y + Z), 5);
  expect(figure.alt).toMatch(/10 mrad: [a-z- ]+ \(0\.\d+, 0\.\d+\)/);
  expect(figure.svg).toContain('>green</text>');
});

test('near and far field agree where the Fresnel number is small, and differ where it is large', () => {
  const figure = nearToFar(slits(1, { width: 5e-4 }), 550e-9, [5, 0.02]);
  const at = (name: string) => traces(figure).filter((trace) => trace.name === name);
  const apart = at('far-field formula').map((far, n) => {
    const near = at('at this distance')[n];
    const most = Math.max(...near.y);
    return Math.max(...near.y.map((v, i) => Math.abs(v - far.y[i]))) / most;
  });
  // Nearest on top: order of the panels.
  expect(apart[0]).toBeGreaterThan(1);
  expect(apart[1]).toBeLessThan(0.01);
  expect(() => nearToFar(slits(1, { width: 5e-4 }), 550e-9, [])).toThrow('1 to 8 distances');
});

test('names appear once in the legend, also where a curve stands in every panel', () => {
  const shown = samples['near to far']().plotly.data.filter((trace) => trace.showlegend === true);
  expect(shown.map((trace) => trace.name)).toEqual(['far-field formula', 'at this distance']);
});
