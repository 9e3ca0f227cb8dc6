import { expect, test } from 'vitest';
import { thin } from '../../kernel-lib/figures/chart';
import { patternPlot } from '../../kernel-lib/figures/pattern-plot';
import { sines } from './samples';

const flat = { s: [-0.01, 0, 0.01], intensity: [0.25, 1, 0.25] };
const trace = (figure: ReturnType<typeof patternPlot>, n = 0) =>
  figure.plotly.data[n] as { x: number[]; y: number[]; line: { dash: string; color: string } };

test('draws thousandths of the direction sine unless told', () => {
  expect(trace(patternPlot(flat)).x).toEqual([-10, 0, 10]);
});

test('draws angles and film positions by their own formulas', () => {
  const degrees = trace(patternPlot({ ...flat, s: [-0.5, 0, 0.5] }, { along: 'degrees' })).x;
  expect(degrees[2]).toBeCloseTo(30, 5);
  // x = f tan θ: sin θ = 0.6 gives tan θ = 0.75.
  const film = trace(
    patternPlot({ ...flat, s: [0, 0.3, 0.6] }, { along: 'film', focalLength: 0.2 }),
  );
  expect(film.x[2]).toBeCloseTo(150, 4);
});

test('an oblique beam moves the angles, and the film stays behind the undeviated beam', () => {
  const incidence = Math.PI / 6;
  const angles = trace(patternPlot(flat, { along: 'degrees', incidence })).x;
  expect(angles[1]).toBeCloseTo(30, 5);
  const film = trace(patternPlot(flat, { along: 'film', focalLength: 1, incidence })).x;
  expect(film[1]).toBeCloseTo(0, 9);
});

test('tells curves apart by dash before colour', () => {
  const figure = patternPlot([flat, flat, flat, flat, flat]);
  const dashes = figure.plotly.data.map((_, n) => trace(figure, n).line.dash);
  expect(new Set(dashes).size).toBe(5);
  expect(figure.svg.match(/stroke-dasharray/g)!.length).toBeGreaterThanOrEqual(8);
});

test('names every curve with its highest point', () => {
  const { alt } = patternPlot([
    { ...flat, name: 'mine' },
    { ...flat, name: 'library' },
  ]);
  expect(alt).toContain('mine: highest 1 at 0, 1 peak');
  expect(alt).toContain('library: highest 1 at 0, 1 peak');
  expect(alt).toContain('from −10 to 10');
});

test('a logarithmic view shows four decades, zeros at the floor', () => {
  const figure = patternPlot({ s: [0, 0.01, 0.02], intensity: [1, 0, 0.001] }, { log: true });
  const { type, range } = figure.plotly.layout.yaxis as { type: string; range: number[] };
  expect(type).toBe('log');
  expect(range[0]).toBeCloseTo(-4, 9);
  expect(figure.svg).not.toContain('NaN');
});

test('thinning keeps the highest and the lowest point of every stretch', () => {
  const x = Float64Array.from({ length: 100_000 }, (_, i) => i);
  const y = x.map((i) => (i === 54_321 ? 7 : i === 12_345 ? -3 : 0.5));
  const kept = thin(x, y);
  expect(kept.x.length).toBeLessThanOrEqual(2000);
  expect(kept.y[kept.x.indexOf(54_321)]).toBe(7);
  expect(kept.y[kept.x.indexOf(12_345)]).toBe(-3);
  expect([kept.x[0], kept.x.at(-1)]).toEqual([0, 99_999]);
  expect(kept.x).toEqual([...kept.x].sort((a, b) => a - b));
});

test.each([
  [
    'values that are not finite',
    { s: [0, 1e-3], intensity: [1, Number.NaN] },
    {},
    'intensity[1] must be finite, but NaN',
  ],
  [
    'lists of two lengths',
    { s: [0, 1e-3], intensity: [1] },
    {},
    'intensity must have 2 values, but has 1',
  ],
  ['one point', { s: [0], intensity: [1] }, {}, 's must have at least 2 values, but has 1'],
  [
    'an unknown axis',
    flat,
    { along: 'inches' },
    "along must be 'sine', 'degrees', 'milliradians' or 'film'",
  ],
  [
    'a direction that does not exist',
    { s: [0, 1.5], intensity: [1, 0] },
    { along: 'degrees' },
    's = 1.5 has no angle',
  ],
  ['an odd number of decades', flat, { log: 99 }, 'log must lie from 1 to 30, but 99'],
  ['no curve', [], {}, 'was given no curve'],
])('refuses %s', (_, curve, options, message) => {
  expect(() => patternPlot(curve as never, options as never)).toThrow(RangeError);
  expect(() => patternPlot(curve as never, options as never)).toThrow(message);
});

test('takes typed arrays as they come from the library', () => {
  const s = Float64Array.from(sines);
  const figure = patternPlot({ s, intensity: s.map((v) => Math.exp(-v * v * 1e4)) });
  expect(Array.isArray(trace(figure).x)).toBe(true);
});

test('refuses film without a lens', () => {
  expect(() => patternPlot(flat, { along: 'film' })).toThrow(
    /focalLength must be a number.*camera lens/,
  );
});
