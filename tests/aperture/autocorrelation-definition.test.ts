import { describe, expect, test } from 'vitest';
import {
  type Aperture,
  asComplex,
  type Complex,
  slits,
  slitsAt,
} from '../../kernel-lib/aperture/aperture';
import { autocorrelation } from '../../kernel-lib/aperture/autocorrelation';
import { blocked, withTransmissions } from '../../kernel-lib/aperture/imperfect';

/** A(c) = ∫ t(x) t*(x − c) dx: every slit laid over every other, moved by c. */
function overlap({ slits: list }: Aperture, c: number): Complex {
  let [re, im] = [0, 0];
  for (const one of list)
    for (const other of list) {
      const from = Math.max(one.centre - one.width / 2, other.centre + c - other.width / 2);
      const to = Math.min(one.centre + one.width / 2, other.centre + c + other.width / 2);
      const [t, u] = [asComplex(one.transmission), asComplex(other.transmission)];
      const common = Math.max(0, to - from);
      re += common * (t.re * u.re + t.im * u.im);
      im += common * (t.im * u.re - t.re * u.im);
    }
  return { re, im };
}

const um = 1e-6;
/** `count` slits from `from` on, in µm. */
const comb = (count: number, from: number, width: number, spacing: number, transmission = 1) =>
  Array.from({ length: count }, (_, i) => ({
    centre: (from + i * spacing) * um,
    width: width * um,
    transmission,
  }));
const turned = [1, { re: 0, im: 1 }, { re: -0.6, im: 0.8 }, 0.5];

const apertures: readonly (readonly [string, Aperture])[] = [
  ['equal slits', slits(5, { width: 20 * um, spacing: 90 * um })],
  ['slits with plates', withTransmissions(slits(4, { width: 20 * um, spacing: 90 * um }), turned)],
  ['two runs of unlike spacings', slitsAt([...comb(3, 0, 5, 20), ...comb(4, 100, 5, 33, 0.5)])],
  ['two runs of one spacing', slitsAt([...comb(3, 0, 5, 20), ...comb(5, 107, 8, 20)])],
  ['a run and a slit', slitsAt([...comb(4, 0, 5, 20), ...comb(1, 111, 9, 1, 0.3)])],
  ['a slit and a run', slitsAt([...comb(1, -50, 9, 1, 0.3), ...comb(4, 0, 5, 20)])],
  ['a grating with a gap', blocked(slits(8, { width: 20 * um, spacing: 50 * um }), 2)],
  ['three kinds', slitsAt([...comb(2, 0, 4, 10), ...comb(3, 40, 6, 17), ...comb(2, 120, 7, 25)])],
];

describe.each(apertures)('%s', (_name, aperture) => {
  const width = aperture.slits.reduce((sum, slit) => sum + slit.width, 0);
  const close = (ours: Complex, c: number) => {
    const sum = overlap(aperture, c);
    expect(Math.hypot(ours.re - sum.re, ours.im - sum.im)).toBeLessThan(1e-12 * width);
  };

  test('is the overlap at every knot, and a straight line between', () => {
    const { lags, re, im } = autocorrelation(aperture);
    for (let i = 0; i < lags.length; i++) {
      close({ re: re[i], im: im[i] }, lags[i]);
      if (i === 0) continue;
      const middle = { re: (re[i - 1] + re[i]) / 2, im: (im[i - 1] + im[i]) / 2 };
      close(middle, (lags[i - 1] + lags[i]) / 2);
    }
  });

  test('its knots ascend from 0 to the whole extent, where it is 0', () => {
    const { lags, re, im } = autocorrelation(aperture);
    const last = lags.length - 1;
    const edges = aperture.slits.flatMap((slit) => [
      slit.centre - slit.width / 2,
      slit.centre + slit.width / 2,
    ]);
    expect(lags[0]).toBe(0);
    expect(lags[last]).toBeCloseTo(Math.max(...edges) - Math.min(...edges), 15);
    expect([re[last], im[last]]).toEqual([0, 0]);
    for (let i = 1; i <= last; i++) expect(lags[i] - lags[i - 1]).toBeGreaterThan(1e-12 * um);
  });

  test('a knot is where its slope changes, by that much', () => {
    const { lags, re, im, bendRe, bendIm } = autocorrelation(aperture);
    const slope = (list: Float64Array, i: number) =>
      i >= lags.length - 1 ? 0 : (list[i + 1] - list[i]) / (lags[i + 1] - lags[i]);
    for (let i = 1; i < lags.length; i++) {
      const bend = [slope(re, i) - slope(re, i - 1), slope(im, i) - slope(im, i - 1)];
      expect(bendRe[i]).toBeCloseTo(bend[0], 6);
      expect(bendIm[i]).toBeCloseTo(bend[1], 6);
      expect(Math.hypot(bendRe[i], bendIm[i])).toBeGreaterThan(1e-9);
    }
    // A(−c) is the conjugate of A(c): at 0 the real part turns from rising to falling.
    expect(bendRe[0]).toBeCloseTo(2 * slope(re, 0), 6);
    expect(bendIm[0]).toBe(0);
  });

  test('is real where the transmissions are', () => {
    const { im, real } = autocorrelation(aperture);
    const isReal = aperture.slits.every(({ transmission }) => asComplex(transmission).im === 0);
    expect(real).toBe(isReal);
    if (isReal) expect(im.every((value) => value === 0)).toBe(true);
  });
});
