import { describe, expect, test } from 'vitest';
import type { SlitGeometry } from '../../../kernel-lib/fitting/slits/slit-model';
import { spacingCandidates } from '../../../kernel-lib/fitting/slits/slit-start';

const wavelength = 500e-9;
const even = (count: number, reach: number, middle = 0) =>
  Float64Array.from({ length: count }, (_, i) => middle + reach * ((2 * i) / (count - 1) - 1));

/** Σ of cosines: each a pair of openings at a distance d, of some strength. */
const fringes = (x: Float64Array, geometry: SlitGeometry, pairs: [d: number, part: number][]) =>
  x.map((v) => {
    const s =
      geometry.focalLength === undefined ? v : Math.sin(Math.atan(v / geometry.focalLength));
    const wave = (d: number) => Math.cos((2 * Math.PI * d * s) / geometry.wavelength);
    return 5 + pairs.reduce((sum, [d, part]) => sum + part * wave(d), 0);
  });

describe('two openings', () => {
  // Range of s/λ 0.02/500 nm = 40 000/m: a fourth of the resolution is 6.25 µm.
  const x = even(400, 0.01);
  test.each([100, 132.1, 227.4, 400])('%d µm apart', (micro) => {
    const d = micro * 1e-6;
    const [first, ...others] = spacingCandidates(
      { x, y: fringes(x, { wavelength }, [[d, 1]]) },
      { wavelength },
    );
    expect(Math.abs(first - d)).toBeLessThan(0.05 * 6.25e-6);
    expect(others).toContain(first / 2);
    expect(others).toContain(first / 3);
  });

  test('faint fringes on a bright ground, and a record that does not begin at zero', () => {
    const aside = even(401, 0.01, 0.3);
    const y = fringes(aside, { wavelength }, [[150e-6, 1]]).map((v) => 1e5 + v);
    const [first] = spacingCandidates({ x: aside, y }, { wavelength });
    expect(Math.abs(first - 150e-6)).toBeLessThan(0.05 * 6.25e-6);
  });

  test('behind a lens, at wide angles, where fringes are no longer even on the screen', () => {
    const geometry = { wavelength, focalLength: 0.05 };
    const wide = even(800, 0.05, 0.01);
    const [first] = spacingCandidates(
      { x: wide, y: fringes(wide, geometry, [[30e-6, 1]]) },
      geometry,
    );
    // The ends of the record are at s = 0.768 and −0.625.
    expect(Math.abs(first - 30e-6)).toBeLessThan(0.2 * (wavelength / (4 * 1.393)));
  });

  test('fringes as fine as two points each are the finest that can be told', () => {
    const few = even(41, 0.01);
    const finest = wavelength / (2 * 5e-4);
    const candidates = spacingCandidates(
      { x: few, y: fringes(few, { wavelength }, [[0.8 * finest, 1]]) },
      { wavelength },
    );
    expect(Math.abs(candidates[0] / (0.8 * finest) - 1)).toBeLessThan(0.01);
    expect(Math.max(...candidates)).toBeLessThanOrEqual(finest);
  });
});

describe('several openings', () => {
  const x = even(600, 0.01);
  test('distances come in the order of their strength, then fractions of the strongest', () => {
    const y = fringes(x, { wavelength }, [
      [300e-6, 0.3],
      [100e-6, 1],
      [200e-6, 0.6],
    ]);
    const candidates = spacingCandidates({ x, y }, { wavelength });
    for (const [k, d] of [100e-6, 200e-6, 300e-6].entries())
      expect(Math.abs(candidates[k] - d)).toBeLessThan(1.5e-6);
    expect(candidates.slice(-2)).toEqual([candidates[0] / 2, candidates[0] / 3]);
    expect(candidates.length).toBeLessThanOrEqual(8);
  });

  test('six peaks at most', () => {
    const pairs = Array.from({ length: 9 }, (_, k): [number, number] => [
      (k + 1) * 60e-6,
      1 - k / 20,
    ]);
    const candidates = spacingCandidates(
      { x, y: fringes(x, { wavelength }, pairs) },
      { wavelength },
    );
    expect(candidates).toHaveLength(8);
    for (let k = 0; k < 6; k++)
      expect(Math.abs(candidates[k] - (k + 1) * 60e-6)).toBeLessThan(1.5e-6);
  });
});

test('no peak, no candidate', () => {
  const x = even(50, 0.01);
  expect(spacingCandidates({ x, y: x.map(() => 0) }, { wavelength })).toEqual([]);
});
