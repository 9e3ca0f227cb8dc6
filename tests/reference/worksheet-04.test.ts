import { describe, expect, test } from 'vitest';
import { blocked, intensity, phasors, slits } from '../../kernel-lib/index';
import key from '../../worksheets/04-three-and-four-slits/key';
import { runModel } from '../worksheets/run-model';
import { expectedOf } from './expected-of';

const { question, expected } = expectedOf(key);
const optics = { width: 20e-6, spacing: 60e-6, wavelength: 500e-9, focalLength: 0.5 };
const fourSlits = slits(4, optics);
const axes = { x: { quantity: 'x', unit: 'mm' }, y: { quantity: 'brightness', unit: 'counts' } };
const model = (ids: string[], name: string, given: object) =>
  runModel(key.model, ids, name, { given, fourSlits, axes, directions: [-0.001, 0.0001, 0.001] });

test('4.1: N − 1 zeros and N − 2 subsidiary maxima (common practice, no source)', () => {
  expect(expected('4.1', { count: 4 })).toEqual([3, 2]);
  expect(model(['4.1'], 'linesAndMaxima', { count: 4 })).toEqual([3, 2]);
});

test('4.2, 4.3: four arrows close at a quarter of a wavelength; at a sixth of a turn they add up to √3/4', () => {
  // sin θ = λ/4d = 1/480, so x = 0.5 m × tan θ = 1.04167 mm.
  expect(expected('4.2', optics)).toBeCloseTo(1.04167e-3, 8);
  expect(model(['4.2'], 'firstDarkLine', optics)).toBeCloseTo(1.04167, 4);
  const closed = phasors(fourSlits, 500e-9, 1 / 480)[3].to;
  expect(Math.hypot(closed.re, closed.im)).toBeCloseTo(0, 12);
  // Drawn on squared paper: arrows at 0°, 60°, 120°, 180° sum to (0, √3), each a quarter long.
  const given = { ...optics, phase: Math.PI / 3 };
  expect(expected('4.3', given)).toBeCloseTo(Math.sqrt(3) / 4, 12);
  expect(model(['4.3'], 'arrowSum', given)).toBeCloseTo(Math.sqrt(3) / 4, 12);
});

describe('4.4, any number of slits', () => {
  const pattern = model(['4.4'], 'pattern', { ...optics, count: 5 });
  const asked = question('4.4');
  const own = (count: number, s: number) =>
    asked.kind === 'function' && asked.expected({ ...optics, count: 5 }, count, s);

  test('three narrow slits: weak maximum 1/9 half-way between bright lines', () => {
    // The slit's own pattern there: (sin β/β)² with β = π/6, by hand (3/π)² = 0.911891.
    const s = (0.5 * 500e-9) / 60e-6;
    for (const f of [pattern, own]) expect(f(3, s)).toBeCloseTo(0.911891 / 9, 6);
  });

  test('is 1 in the centre and that of one slit for N = 1: half at 0.442946 λ/a', () => {
    expect(pattern(7, 0)).toBe(1);
    expect(pattern(1, (0.4429465 * 500e-9) / 20e-6)).toBeCloseTo(0.5, 6);
  });
});

test.each([
  { count: 3, height: 1 / 9 },
  { count: 4, height: 2 / 27 },
  { count: 10, height: 0.0505107 },
])('4.5: first subsidiary maximum of $count slits, width ignored: $height', ({ count, height }) => {
  expect(expected('4.5', { count })).toBeCloseTo(height, 7);
  expect(model(['4.5'], 'weakHeight', { count }) / 100).toBeCloseTo(height, 7);
});

test.each([
  { count: 3, width: 1.951227 },
  { count: 4, width: 1.430658 },
  { count: 10, width: 0.55904 },
])(
  '4.6: full width at half maximum of $count slits, $width in phase; of two it is π',
  ({ count, width }) => {
    expect(expected('4.6', { count })).toBeCloseTo(Math.PI / width, 5);
    expect(model(['4.6'], 'timesNarrower', { count })).toBeCloseTo(Math.PI / width, 5);
  },
);

test('4.7: agrees with the far field of narrow slits, one of them blocked, by the sum over slits', () => {
  const narrow = { width: 0.1e-6, spacing: 60e-6 };
  const [whole, lacking] = [slits(6, narrow), blocked(slits(6, narrow), 2)];
  const dark = 500e-9 / (6 * 60e-6);
  expect(intensity(whole, 500e-9, dark)).toBeCloseTo(0, 12);
  // `intensity` is relative to its own centre, which has 5 arrows in a line: 25 times one slit.
  const found = [36, 25, 25 * intensity(lacking, 500e-9, dark)];
  for (const list of [
    expected('4.7', { count: 6 }) as readonly number[],
    model(['4.7'], 'brightness', { count: 6 }) as number[],
  ])
    list.forEach((value, i) => {
      expect(value).toBeCloseTo(found[i], 4);
    });
});

test.each([3, 4, 5, 6])('4.8: a record of %i slits is counted right', (count) => {
  const whole = slits(count, optics);
  const positions = Array.from({ length: 301 }, (_, i) => ((i - 150) / 150) * 5.6e-3);
  const counts = positions.map((x, i) => {
    const light = intensity(whole, 500e-9, Math.sin(Math.atan(x / 0.5)));
    return Math.max(0, 100 + 3000 * light + (i % 2 === 0 ? 20 : -20));
  });
  const given = { ...optics, count: 7, profile: { positions, counts, noise: 20 } };
  expect(expected('4.8', given)).toBe(count);
  expect(model(['4.4', '4.8'], 'slitCount', given)).toBe(count);
});
