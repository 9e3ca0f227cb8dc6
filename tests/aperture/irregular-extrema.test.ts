import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { generalExtrema } from '../../kernel-lib/aperture/general-extrema';
import { blocked, withTransmissions } from '../../kernel-lib/aperture/imperfect';

const inside = <T extends { u: number }>(list: readonly T[], from: number, to: number) =>
  list.filter(({ u }) => u >= from && u <= to);
const pairOf = (faint: number, width: number, spacing: number) =>
  withTransmissions(slits(2, { width, spacing }), [1, faint]);
const ordersOf = ({ maxima }: ReturnType<typeof generalExtrema>) => maxima.map((at) => at.order);

describe('two slits of unlike transmission 1 and t: |F|² = a² sinc² (1 + t² + 2t cos 2πdu)', () => {
  test('minima half-way, where (1 − t)²/(1 + t)² of the envelope is left; every maximum has its order', () => {
    const [t, width, spacing] = [0.5, 1e-9, 4e-6];
    const found = generalExtrema(pairOf(t, width, spacing), -2.2 / spacing, 2.2 / spacing);
    const bright = inside(found.maxima, -2.2 / spacing, 2.2 / spacing);
    const dark = inside(found.minima, -2.2 / spacing, 2.2 / spacing);
    expect(bright.map(({ order }) => order)).toEqual([-2, -1, 0, 1, 2]);
    expect(bright.map(({ u }) => u * spacing)).toEqual(
      [-2, -1, 0, 1, 2].map((m) => expect.closeTo(m, 6)),
    );
    expect(bright[2].u).toBe(0);
    expect(dark.map(({ u }) => u * spacing)).toEqual(
      [-1.5, -0.5, 0.5, 1.5].map((m) => expect.closeTo(m, 6)),
    );
    for (const { intensity } of dark) expect(intensity).toBeCloseTo(1 / 9, 5);
    for (const { intensity } of bright) expect(intensity).toBeCloseTo(1, 5);
  });

  test('straight ahead is 0 exactly, whatever the sizes', () => {
    for (const scale of [1e-7, 3e-6, 7e-5, 0.3]) {
      const { maxima } = generalExtrema(pairOf(0.7, scale, 2.9 * scale), -0.3 / scale, 0.4 / scale);
      const ahead = maxima.find(({ order }) => order === 0)!;
      expect(ahead).toEqual({ u: 0, intensity: 1, order: 0 });
    }
  });

  test('an extremum near straight ahead stays where it is: a plate moves order 0 aside', () => {
    // Order 0 stands at u = −ψ/2πd with a plate of ψ before the left slit.
    const [psi, spacing] = [1e-6, 4e-6];
    const plate = { re: Math.cos(psi), im: Math.sin(psi) };
    const aperture = withTransmissions(slits(2, { width: 1e-10, spacing }), [plate, 1]);
    const { maxima } = generalExtrema(aperture, -0.3 / spacing, 0.4 / spacing);
    const ahead = maxima.find(({ order }) => order === 0)!;
    expect(ahead.u * spacing * 2 * Math.PI).toBeCloseTo(-psi, 12);
  });

  test.each([2, 3, 4, 7])('d = %d a: orders that the envelope darkens are missing', (ratio) => {
    for (const width of [1, 0.1, 1 / 3, 0.7, 1.1e-6, 2.3e-6]) {
      const spacing = ratio * width;
      const end = (2 * ratio + 0.4) / spacing;
      const orders = ordersOf(generalExtrema(pairOf(0.6, width, spacing), -end, end));
      const some = orders.filter((m) => m !== undefined && Math.abs(m) <= 2 * ratio);
      const all = Array.from({ length: 4 * ratio + 1 }, (_, i) => i - 2 * ratio);
      expect(some).toEqual(all.filter((m) => m === 0 || m % ratio !== 0));
    }
  });
});

describe('a grating without one of its slits', () => {
  const [count, spacing] = [6, 5];
  const grating = blocked(slits(count, { width: 1e-5, spacing }), 2);

  test('has all orders; the maxima between them have none', () => {
    const { minima, maxima } = generalExtrema(grating, -2.1 / spacing, 2.1 / spacing);
    const bright = inside(maxima, -2.1 / spacing, 2.1 / spacing);
    for (const { u, order } of bright) {
      const whole = Math.abs(u * spacing - Math.round(u * spacing)) < 0.05;
      expect(order).toBe(whole ? Math.round(u * spacing) + 0 : undefined);
    }
    const orders = bright.map(({ order }) => order).filter((m) => m !== undefined);
    expect(orders).toEqual([-2, -1, 0, 1, 2]);
    // Bright and dark take turns.
    const dark = inside(minima, -2.1 / spacing, 2.1 / spacing);
    expect(Math.abs(bright.length - dark.length)).toBeLessThanOrEqual(1);
  });

  test('a part of the range gives what the whole gives there', () => {
    const whole = generalExtrema(grating, -2.1 / spacing, 2.1 / spacing);
    for (const [from, to] of [
      [0.61, 1.52],
      [-1.98, -1.02],
      [0.97, 1.03],
      [-0.2, 0.1],
    ]) {
      const part = generalExtrema(grating, from / spacing, to / spacing);
      for (const kind of ['minima', 'maxima'] as const) {
        const [ours, theirs] = [part, whole].map((found) =>
          inside(found[kind], from / spacing, to / spacing),
        );
        expect(ours).toHaveLength(theirs.length);
        ours.forEach((at, i) => {
          expect(at).toEqual({ ...theirs[i], u: expect.closeTo(theirs[i].u, 12) });
        });
      }
    }
  });
});

test('a search that would not end in a reasonable time is refused, also with its margins', () => {
  const pair = pairOf(0.6, 1, 1.5);
  // Fringes: range times the extent of 2.5, and two orders of 1/1.5 at both ends.
  expect(() => generalExtrema(pair, 0, 3.1e6 / 2.5)).toThrow(/narrow it/);
  expect(() => generalExtrema(pair, -3.1e6 / 2.5, 0)).toThrow(/narrow it/);
  expect(() => generalExtrema(pair, 1e7, 1e7 + 1)).not.toThrow();
  const wide = pairOf(0.6, 1, 1000);
  expect(() => generalExtrema(wide, 0, 3.1e3)).toThrow(/^About 3\.1e\+6/);
});
