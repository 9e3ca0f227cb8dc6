import { describe, expect, test } from 'vitest';
import { fitSlits } from '../../../kernel-lib/fitting/slits/fit-slits';
import { slitProfile } from '../../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../../kernel-lib/numerics/random';

const geometry = { wavelength: 500e-9, focalLength: 0.5 };
const truth = {
  width: 40e-6,
  amplitude: 1000,
  background: 20,
  centre: 2e-4,
  spacing: 100e-6,
  visibility: 0.9,
};
const near = { ...geometry, start: { ...truth, width: 39e-6, visibility: 0.88 } };
const made = (count: number, setting = {}, seed = 'options') =>
  slitProfile(seeded(seed), { ...truth, ...geometry, count, points: 121, ...setting });
const flat = (value: number, ripple = 0) => ({
  x: Float64Array.from({ length: 30 }, (_, i) => i * 1e-4),
  y: Float64Array.from({ length: 30 }, (_, i) => value + ripple * (i % 2)),
});

describe('parameters that are fixed', () => {
  test('spacing and visibility of three slits held, the others found without a start', () => {
    // A sharp pattern: the visibility is 1.
    const fixed = { spacing: 100e-6, visibility: 1 };
    const fit = fitSlits(made(3, { visibility: 1 }), { ...geometry, count: 3, fixed });
    expect(fit.names).toEqual(['width', 'amplitude', 'background', 'centre']);
    expect(fit.spacing).toEqual({ value: 100e-6, u: 0 });
    expect([fit.blur, fit.slope]).toEqual([
      { value: 0, u: 0 },
      { value: 0, u: 0 },
    ]);
    expect(Math.abs(fit.width.value - 40e-6) / fit.width.u).toBeLessThan(4);
    expect(Math.abs(fit.centre.value - 2e-4) / fit.centre.u).toBeLessThan(4);
  });

  test('the centre of one slit held', () => {
    const fit = fitSlits(made(1), { ...geometry, count: 1, fixed: { centre: 2e-4 } });
    expect(fit.names).toEqual(['width', 'amplitude', 'background', 'blur']);
    expect(fit.centre).toEqual({ value: 2e-4, u: 0 });
    expect(Math.abs(fit.width.value - 40e-6) / fit.width.u).toBeLessThan(4);
  });

  test('each value is said under its own name, found or held', () => {
    const { amplitude, background } = truth;
    const fit = fitSlits(made(3), { ...near, count: 3, fixed: { amplitude, background } });
    expect(fit.amplitude).toEqual({ value: 1000, u: 0 });
    expect(fit.background).toEqual({ value: 20, u: 0 });
    const found = [fit.width, fit.centre, fit.spacing, fit.blur];
    expect(found).toEqual(fit.parameters);
    expect(fit.degreesOfFreedom).toBe(117);
  });

  test('one slit has no spacing and no fringes, though they are known for several', () => {
    const fixed = { spacing: 30e-6, visibility: 0.8 };
    const fit = fitSlits(made(1), { ...near, fixed, maxCount: 2 });
    expect(fit.count).toBe(1);
    expect(fit.spacing).toEqual({ value: Number.NaN, u: 0 });
    expect(fit.visibility).toEqual({ value: 1, u: 0 });
  });

  test('one that is listed but undefined is not held', () => {
    const fit = fitSlits(made(3), { ...near, count: 3, fixed: { visibility: undefined } });
    expect(fit.names).toContain('blur');
  });

  test.each([
    [Number.NaN, RangeError, /^fixed\.width must be finite/],
    ['40 µm', TypeError, /^fixed\.width must be a number/],
  ])('%s is no value', (width, kind, sentence) => {
    const options = { ...near, count: 3, fixed: { width: width as number } };
    expect(() => fitSlits(made(3), options)).toThrow(kind);
    expect(() => fitSlits(made(3), options)).toThrow(sentence);
  });
});

describe('how many points are needed', () => {
  const points = (n: number) => made(3, { points: n });
  test.each([
    [3, { count: 1 }, '3 points cannot fix 5 parameters'],
    [5, { count: 2 }, '5 points cannot fix 6 parameters'],
    [4, { count: 2, fixed: { visibility: 1 } }, '4 points cannot fix 5 parameters'],
    [3, { fixed: { spacing: 1e-4 } }, '3 points cannot fix 5 parameters'],
    [2, { count: 1, fixed: { centre: 0, background: 0 } }, '2 points cannot fix 3 parameters'],
  ])('%i points: %o', (n, options, sentence) => {
    expect(() => fitSlits(points(n), { ...near, ...options })).toThrow(sentence);
  });

  test('a count is tried when there are more points than it has parameters', () => {
    const counts = (n: number, options = {}) =>
      fitSlits(made(1, { points: n }), { ...near, maxCount: 2, ...options }).tried.map(
        ({ count }) => count,
      );
    expect(() => counts(5)).toThrow(/5 points leave nothing over beside 5 parameters/);
    expect(counts(6)).toEqual([1]);
    expect(counts(7)).toEqual([1, 2]);
    expect(counts(6, { fixed: { visibility: 0.9 } })).toEqual([1, 2]);
    expect(counts(5, { fixed: { visibility: 0.9 } })).toEqual([1]);
  });
});

describe('which count is taken', () => {
  test('all that were tried are told in order, with n ln(χ²/n) + k ln n, several with the third of a prior', () => {
    const { tried, count } = fitSlits(made(3), { ...near, maxCount: 4 });
    expect(count).toBe(3);
    expect(tried.map((one) => one.count)).toEqual([1, 2, 3, 4]);
    for (const { count: slits, chiSquare, bic } of tried) {
      const [k, prior] = slits === 1 ? [5, 1] : [6, 1 / 3];
      const schwarz = 121 * Math.log(chiSquare / 121) + k * Math.log(121);
      expect(bic).toBeCloseTo(schwarz - 2 * Math.log(prior), 9);
      if (slits !== 3) expect(bic).toBeGreaterThan(tried[2].bic);
    }
  });

  test('eight at first when nothing is said', () => {
    const fixed = { ...truth, visibility: undefined };
    const { tried } = fitSlits(made(2), { ...near, fixed });
    expect(tried.map(({ count }) => count)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  });

  test('faint fringes are no evidence, but are fitted when the count is known', () => {
    const faint = made(2, { visibility: 0.05, points: 400 });
    const free = fitSlits(faint, { ...near, maxCount: 2 });
    expect(free.count).toBe(1);
    expect(free.tried[1].credible).toBe(false);
    expect(free.tried[1].bic).toBeLessThan(free.tried[0].bic);
    const known = fitSlits(faint, { ...near, count: 2 });
    expect(known.count).toBe(2);
    expect(known.tried[0].credible).toBe(true);
    expect(Math.abs(known.visibility.value - 0.05) / known.visibility.u).toBeLessThan(4);
  });
});

describe('refused', () => {
  test.each([
    ['all zero', flat(0)],
    ['all the same, below zero', flat(-3)],
    ['all the same but for rounding', flat(1e6, 1e-4)],
  ])('%s', (_, profile) => {
    expect(() => fitSlits(profile, geometry)).toThrow(RangeError);
    expect(() => fitSlits(profile, geometry)).toThrow(
      /^The profile is constant \(\S+ at all 30 points/,
    );
  });

  test('a ripple that is more than rounding is not called constant', () => {
    const fixed = { ...truth, visibility: undefined };
    expect(() => fitSlits(flat(1e6, 1), { ...near, count: 3, fixed })).toThrow(/out of the noise/);
    expect(() => fitSlits(flat(-1e6, 1), { ...near, count: 3, fixed })).toThrow(/out of the noise/);
  });

  test.each([
    [{ count: 0 }, /^count must be a whole number from 1/],
    [{ count: 201 }, /^count must be a whole number from 1/],
    [{ maxCount: 0 }, /^maxCount must be a whole number from 1/],
    [{ maxCount: 61 }, /^maxCount must be a whole number from 1/],
    [{ wavelength: -1 }, /^The wavelength must be greater than 0/],
    [{ focalLength: 0 }, /^The focal length must be greater than 0/],
  ])('%o', (wrong, sentence) => {
    expect(() => fitSlits(made(3), { ...near, ...wrong })).toThrow(RangeError);
    expect(() => fitSlits(made(3), { ...near, ...wrong })).toThrow(sentence);
  });

  test('a parameter of another name', () => {
    const fixed = { colour: 1 } as never;
    expect(() => fitSlits(made(3), { ...near, fixed })).toThrow(/"colour" cannot be fixed/);
  });

  test('options left out: the wavelength is asked for', () => {
    expect(() => fitSlits(made(3), undefined as never)).toThrow(/^The wavelength must be a number/);
  });
});

describe('slits in a laser’s beam', () => {
  // Five slits, the square of the sum of their fields, exp(−(x/w)²) of a beam 0.3 mm in radius: (0.2/0.3)² = 0.444.
  const falloff = (0.2 / 0.3) ** 2;
  const random = seeded('beam');
  const x = Float64Array.from({ length: 400 }, (_, i) => (i - 199.5) * 3e-5);
  const light = x.map((place) => {
    const s = place / Math.hypot(place, geometry.focalLength);
    let [re, all] = [0, 0];
    for (const at of [-200e-6, -100e-6, 0, 100e-6, 200e-6]) {
      const field = Math.exp(-((at / 300e-6) ** 2));
      re += field * Math.cos((2 * Math.PI * at * s) / geometry.wavelength);
      all += field;
    }
    const beta = (Math.PI * 40e-6 * s) / geometry.wavelength;
    return ((re / all) * (Math.sin(beta) / beta)) ** 2;
  });
  const u = new Float64Array(400).fill(3);
  const profile = { x, u, y: light.map((one) => 20 + 1000 * one + 3 * random.normal()) };

  test('even light has another count for them, or none that holds', () => {
    const fit = fitSlits(profile, { ...geometry, light: 'even' });
    expect(fit.count === 5 && fit.reducedChiSquare < 1.3).toBe(false);
  });

  test('left to itself the fit finds them, and how the light falls off', () => {
    const fit = fitSlits(profile, geometry);
    expect(fit.count).toBe(5);
    expect(fit.trusted).toBe(true);
    expect(Math.abs(fit.falloff.value - falloff)).toBeLessThan(4 * fit.falloff.u);
    expect(fit.falloff.u).toBeLessThan(0.05);
    for (const [name, length] of [['width', 40e-6] as const, ['spacing', 100e-6] as const])
      expect(Math.abs(fit[name].value - length) / fit[name].u).toBeLessThan(4);
    const told = /outermost slits have ([\d.]+)\([\d.]+\) % of the middle’s light/.exec(
      String(fit),
    )!;
    expect(Math.abs(Number(told[1]) - 100 * Math.exp(-2 * falloff))).toBeLessThan(5);
  });

  test('where all have the same light nothing else is looked for', () => {
    const fit = fitSlits(made(5, { visibility: 1 }), geometry);
    expect(fit.names).not.toContain('falloff');
    expect(fit.falloff).toEqual({ value: 0, u: 0 });
  });

  test('two slits are lit alike, and a word that is neither is refused', () => {
    expect(fitSlits(made(2), { ...near, count: 2, light: 'beam' }).names).not.toContain('falloff');
    expect(() => fitSlits(made(2), { ...geometry, light: 'laser' as never })).toThrow(/light/);
  });
});

test('where the bright fringes in the middle are full, it is still found which of them is the middle', () => {
  // Two slits, cos² sinc², a spacing of five widths, of which the seven brightest fringes are full.
  const [width, spacing] = [50e-6, 250e-6];
  const random = seeded('full');
  const x = Float64Array.from({ length: 700 }, (_, i) => (i - 330) * 3e-5);
  const signal = x.map((place) => {
    const s = place / Math.hypot(place, geometry.focalLength);
    const beta = (Math.PI * width * s) / geometry.wavelength;
    const fringes = Math.cos((Math.PI * spacing * s) / geometry.wavelength) ** 2;
    return (
      0.01 + 4 * fringes * (beta === 0 ? 1 : Math.sin(beta) / beta) ** 2 + 0.003 * random.normal()
    );
  });
  const saturated = Uint8Array.from(signal, (value) => (value > 0.98 ? 1 : 0));
  const y = signal.map((value) => Math.min(value, 1));
  for (const shift of [-2, -1, 0, 1, 2]) {
    // A start that is so many fringes off stands for whatever leads there.
    const fringe = (geometry.wavelength * geometry.focalLength) / spacing;
    const start = { centre: shift * fringe };
    const fit = fitSlits(
      { x, y, u: x.map(() => 0.003), saturated },
      { ...geometry, count: 2, start },
    );
    expect(Math.abs(fit.centre.value)).toBeLessThan(0.05 * fringe);
    expect(Math.abs(fit.width.value - width) / fit.width.u).toBeLessThan(4);
  }
});
