import { describe, expect, test } from 'vitest';
import { patternCentres } from '../../../kernel-lib/fitting/slits/slit-start';

const sinc2 = (v: number) => (v === 0 ? 1 : (Math.sin(v) / v) ** 2);
const even = (count: number, low: number, high: number) =>
  Float64Array.from({ length: count }, (_, i) => low + ((high - low) * i) / (count - 1));

describe('the middle of a symmetric pattern', () => {
  test.each([-0.0021, 0.00003, 0.0013])('one slit, its middle at %d m', (centre) => {
    const x = even(512, -0.005, 0.005);
    const y = x.map((v) => 0.1 + sinc2((v - centre) * 2500));
    // A cell of the grid is 20 µm.
    expect(Math.abs(patternCentres({ x, y })[0] - centre)).toBeLessThan(1e-6);
  });

  test('a record that does not begin at zero, with 40 points or 3000', () => {
    for (const count of [40, 3000]) {
      const x = even(count, 0.01, 0.02);
      const y = x.map((v) => 7 * Math.exp(-(((v - 0.0164) / 0.001) ** 2)));
      expect(Math.abs(patternCentres({ x, y })[0] - 0.0164)).toBeLessThan(4e-6);
    }
  });

  test('fringes: side candidates lie half a fringe apart, six at most, the middle first', () => {
    // Fringes 1 mm apart under a wide envelope.
    const x = even(1000, -0.01, 0.01);
    const y = x.map((v) => sinc2((v - 2e-4) * 300) * Math.cos(Math.PI * 1000 * (v - 2e-4)) ** 2);
    const centres = patternCentres({ x, y });
    expect(centres).toHaveLength(6);
    expect(Math.abs(centres[0] - 2e-4)).toBeLessThan(2e-6);
    const sides = centres.slice(1, 3).sort((a, b) => a - b);
    expect(Math.abs(sides[0] - (2e-4 - 5e-4))).toBeLessThan(2e-5);
    expect(Math.abs(sides[1] - (2e-4 + 5e-4))).toBeLessThan(2e-5);
  });

  test('a high background does not draw the middle to that of the record', () => {
    const x = even(512, -0.005, 0.005);
    const peak = (v: number) => Math.max(0, 1 - ((v - 0.003) / 0.001) ** 2);
    const [centre] = patternCentres({ x, y: x.map((v) => 1000 + peak(v)) });
    expect(Math.abs(centre - 0.003)).toBeLessThan(1e-6);
  });

  test('nothing but background: the middle of the record, to a cell', () => {
    const x = even(300, 0.01, 0.02);
    const centres = patternCentres({ x, y: x.map(() => 3) });
    expect(centres).toHaveLength(1);
    expect(Math.abs(centres[0] - 0.015)).toBeLessThan(2e-5);
  });
});

describe('points that do not lie on the grid of 512 cells', () => {
  // A cell apart: 1. Corners of a lopsided tent with a second, smaller one.
  const x = Float64Array.of(0, 40, 180, 200, 333, 340, 390, 511);
  const y = Float64Array.of(0, 0, 5, 3, 0, 2, 0, 0);
  const line = (at: number) => {
    const k = Math.max(
      1,
      x.findIndex((v) => v >= at),
    );
    return y[k - 1] + ((at - x[k - 1]) / (x[k] - x[k - 1])) * (y[k] - y[k - 1]);
  };
  const grid = even(512, 0, 511);
  const known = patternCentres({ x: grid, y: grid.map(line) });

  test('between neighbours far apart a straight line is taken', () => {
    const centres = patternCentres({ x, y });
    expect(centres).toHaveLength(known.length);
    for (const [k, centre] of centres.entries()) expect(centre).toBeCloseTo(known[k], 9);
  });

  test('several points of a cell count with their mean', () => {
    const triple = Array.from(grid).flatMap((at) =>
      at === 0 || at === 511 ? [at] : [at - 0.3, at, at + 0.4],
    );
    const scatter = [1, 0, -1];
    const signal = triple.map((at) => {
      const cell = Math.round(at);
      const which = at === cell ? 1 : at < cell ? 0 : 2;
      return line(cell) + scatter[which];
    });
    const centres = patternCentres({ x: Float64Array.from(triple), y: Float64Array.from(signal) });
    for (const [k, centre] of centres.entries()) expect(centre).toBeCloseTo(known[k], 9);
  });
});
