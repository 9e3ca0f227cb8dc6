import { describe, expect, test } from 'vitest';
import { type Aperture, asComplex, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { blocked, withTransmissions, withWidths } from '../../kernel-lib/aperture/imperfect';
import { period } from '../../kernel-lib/aperture/orders';
import { regularRun, runs } from '../../kernel-lib/aperture/runs';

const um = 1e-6;
const at = (centres: readonly number[], width = 5) =>
  slitsAt(centres.map((centre) => ({ centre: centre * um, width: width * um })));
const grating = slits(8, { width: 5 * um, spacing: 20 * um });
const halved = [1, 1, 1, 0.5, 0.5, 0.5, 0.5, 0.5];
const plate = { re: 0, im: 1 };

const apertures: readonly (readonly [string, Aperture, readonly number[]])[] = [
  ['one slit', at([3]), [1]],
  ['two slits', at([0, 20]), [2]],
  ['two unlike slits', withWidths(at([0, 20]), [5e-6, 6e-6]), [1, 1]],
  ['equal slits', grating, [8]],
  ['very many', slits(5000, { width: um, spacing: 3 * um }), [5000]],
  ['equal slits far off the axis', at([1000, 1020, 1040, 1060]), [4]],
  // Two neighbours amid others stay by themselves: as a run they would save nothing.
  ['a grating without its third', blocked(grating, 2), [1, 1, 5]],
  ['a grating without its fifth', blocked(grating, 4), [4, 3]],
  ['half of it fainter', withTransmissions(grating, halved), [3, 5]],
  ['one of it behind a plate', withTransmissions(at([0, 20, 40, 60]), [1, 1, 1, plate]), [3, 1]],
  ['gaps of 20 and 21', at([0, 20, 40, 61, 82, 103]), [3, 3]],
  ['nothing alike', at([0, 20, 47, 81]), [1, 1, 1, 1]],
];

test.each(apertures)(
  '%s is taken apart into as few runs as make sense',
  (_name, aperture, counts) => {
    const list = runs(aperture);
    expect(list.map(({ count }) => count)).toEqual(counts);
    expect(regularRun(aperture)).toBe(counts.length === 1 ? list[0] : undefined);
    expect(runs(aperture)).toBe(list);
  },
);

test.each(apertures)('the runs of %s hold every slit once', (_name, aperture) => {
  const places = runs(aperture).flatMap(({ count, spacing, middle, width, re, im }) =>
    Array.from({ length: count }, (_, i) => ({
      centre: middle + (i - (count - 1) / 2) * spacing,
      ...{ width, re, im },
    })),
  );
  expect(places).toHaveLength(aperture.slits.length);
  aperture.slits.forEach((slit, i) => {
    expect(Math.abs(places[i].centre - slit.centre)).toBeLessThan(1e-13);
    expect(Math.abs(places[i].width - slit.width)).toBeLessThan(1e-18);
    expect({ re: places[i].re, im: places[i].im }).toEqual(asComplex(slit.transmission));
  });
});

test('a run of one has no spacing', () => {
  for (const { count, spacing } of runs(at([0, 20, 47]))) expect([count, spacing]).toEqual([1, 0]);
});

describe('the spacing that orders are counted with', () => {
  test.each([
    ['one slit has none', at([3]), 0],
    ['equal gaps give the gap', at([5, 25, 45, 65]), 20],
    ['two slits give theirs', at([-7, 12]), 19],
    ['a blocked slit counts as two gaps', at([0, 20, 60, 80, 100]), 20],
    ['so do two in a row as three', at([0, 20, 40, 100, 120]), 20],
  ])('%s', (_name, { slits: list }, d) => {
    expect(period(list)).toBeCloseTo(d * um, 18);
  });

  test('small errors are averaged by a straight line: its slope by least squares', () => {
    const centres = [0, 21, 39, 61, 80];
    // Σ (i − 2)(x − x̄) / Σ (i − 2)² = (−2·0 − 21 + 61 + 2·80) / 10.
    expect(period(at(centres).slits)).toBeCloseTo(20 * um, 18);
    const uneven = [0, 21, 39, 60, 80];
    expect(period(at(uneven).slits)).toBeCloseTo(19.9 * um, 18);
  });

  test('gaps narrower than the typical one still count as one', () => {
    // The typical gap is 20; the one of 8 is a slit on, not on the same place.
    const list = at([0, 20, 28, 48, 68], 3).slits;
    expect(period(list)).toBeCloseTo(((-2 * 0 - 20 + 48 + 2 * 68) / 10) * um, 18);
  });
});
