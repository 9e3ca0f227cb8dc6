import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import { prepare } from '../../kernel-lib/camera/prepared-light';
import type { FilmStripOptions } from '../../kernel-lib/camera/strip-options';
import { whitePattern } from '../../kernel-lib/camera/white-pattern';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { lamp, laser } from '../../kernel-lib/light/lamp';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { plainSum } from './plain-strip';

const two = slits(2, { width: 40e-6, spacing: 100e-6 });

describe('a strip', () => {
  test('agrees with the plain sum over wavelengths at every position, exactly 1 at s = 0', () => {
    const strip = filmStrip(two, sunlight(), { points: 101, span: 0.052 });
    const { colour, power } = prepare(sunlight());
    for (let i = 0; i < 101; i++) {
      const plain = plainSum(two, colour.sum(0), strip.s[i]);
      for (let c = 0; c < 3; c++) {
        expect(Math.abs(strip.xyz[3 * i + c] - plain[c])).toBeLessThan(1e-6);
      }
      expect(Math.abs(strip.total[i] - plainSum(two, power.sum(0), strip.s[i])[1])).toBeLessThan(
        1e-6,
      );
    }
    expect(strip.xyz[3 * 50 + 1]).toBe(1);
    expect(strip.total[50]).toBe(1);
  });

  test('lays positions evenly over the span and gives each its direction sine', () => {
    const strip = filmStrip(two, laser(633e-9), { points: 5, span: 0.4, focalLength: 0.5 });
    expect([...strip.positions]).toEqual([-0.2, -0.1, 0, 0.1, 0.2]);
    strip.positions.forEach((x, i) => {
      expect(strip.s[i]).toBeCloseTo(Math.sin(Math.atan(x / 0.5)), 15);
    });
  });

  test('at oblique incidence s = sin θ − sin θi with x = f tan(θ − θi)', () => {
    const incidence = 0.3;
    const strip = filmStrip(two, laser(633e-9), { points: 7, span: 0.4, incidence });
    strip.positions.forEach((x, i) => {
      const sine = Math.sin(incidence + Math.atan(x)) - Math.sin(incidence);
      expect(strip.s[i]).toBeCloseTo(sine, 14);
    });
    const sum = prepare(laser(633e-9)).colour.sum(0);
    strip.s.forEach((s, i) => {
      expect(strip.xyz[3 * i + 1]).toBeCloseTo(plainSum(two, sum, s)[1], 6);
    });
  });

  test('has as many positions as asked for, an odd or an even number', () => {
    for (const points of [2, 3, 600, 601]) {
      const strip = filmStrip(two, sunlight(), { points });
      expect(strip.positions).toHaveLength(points);
      expect(strip.xyz).toHaveLength(3 * points);
      expect(strip.srgb).toHaveLength(3 * points);
      expect(strip.total).toHaveLength(points);
    }
  });

  test('says in one sentence what is seen', () => {
    const strip = filmStrip(two, sunlight(), { points: 1201, span: 0.052 });
    expect(strip.alt).toMatch(
      /^Film strip of 2 slits 40 µm wide, 100 µm apart in sunlight, 52 mm of film behind a lens of 1000 mm: the middle is white; at 5\.\d+ mm pale yellow-green, 56 % as bright; .*\.$/,
    );
  });

  test('of a table made longer, or of a finer spectrum, is the same as of a fresh one', () => {
    const fresh = { ...illuminant('D65') };
    const used = { ...illuminant('D65') };
    filmStrip(two, used, { span: 0.01 });
    filmStrip(slits(50, { width: 40e-6, spacing: 100e-6 }), used, { span: 0.2 });
    const options = { points: 50, span: 0.052 };
    expect(filmStrip(two, used, options).xyz).toEqual(filmStrip(two, fresh, options).xyz);
  });
});

describe('exposure and scale', () => {
  const at = (options: FilmStripOptions) =>
    filmStrip(two, sunlight(), { points: 401, span: 0.052, ...options });
  const brightness = (srgb: Uint8ClampedArray, i: number) =>
    Math.max(srgb[3 * i], srgb[3 * i + 1], srgb[3 * i + 2]);

  test('more exposure is nowhere darker and changes nothing but the colours shown', () => {
    const [short, long] = [at({ exposure: 0.5 }), at({ exposure: 8 })];
    expect(long.xyz).toEqual(short.xyz);
    expect(long.total).toEqual(short.total);
    for (let i = 0; i < 401; i++) {
      expect(brightness(long.srgb, i)).toBeGreaterThanOrEqual(brightness(short.srgb, i));
    }
  });

  test('the logarithmic scale lifts what is weak: three decades down is three quarters of the level down', () => {
    const strip = at({ scale: 'log', decades: 4, exposure: 1 });
    const linear = at({ exposure: 1 });
    const weak = [...strip.total.keys()].filter((i) => strip.total[i] < 2e-2);
    expect(weak.length).toBeGreaterThan(5);
    for (const i of weak) {
      expect(brightness(strip.srgb, i)).toBeGreaterThanOrEqual(brightness(linear.srgb, i));
    }
    const one = filmStrip(slits(1, { width: 40e-6 }), laser(555e-9), {
      points: 4001,
      scale: 'log',
      exposure: 0.1,
      span: 0.03,
    });
    // Of one wavelength, the strongest channel goes as the power: 1e-3 of that ahead is 3 decades lower.
    const off = (total: number) => Math.abs(total - 1e-3);
    const place = one.total.reduce(
      (best, total, i) => (off(total) < off(one.total[best]) ? i : best),
      0,
    );
    const drop = brightness(one.srgb, 2000) - brightness(one.srgb, place);
    expect(Math.abs(drop - (255 * 3) / 4)).toBeLessThan(8);
  });

  test('balanced on a filament lamp its middle is white; balanced on D65 it is orange', () => {
    const middle = (whiteBalance: 'auto' | 'D65') => {
      const { srgb } = filmStrip(two, illuminant('A'), { points: 3, whiteBalance });
      return [...srgb.slice(3, 6)];
    };
    const [r, g, b] = middle('auto');
    expect(Math.max(r, g, b) - Math.min(r, g, b)).toBeLessThan(6);
    const orange = middle('D65');
    expect(orange[0]).toBeGreaterThan(orange[1] + 30);
    expect(orange[1]).toBeGreaterThan(orange[2] + 30);
  });

  test('a sodium lamp stays amber, however long the exposure', () => {
    const { srgb } = filmStrip(two, lamp('sodium'), { points: 3, exposure: 100 });
    const [r, g, b] = srgb.slice(3, 6);
    expect(r).toBe(255);
    expect(g).toBeGreaterThan(100);
    expect(g).toBeLessThan(200);
    expect(b).toBeLessThan(60);
  });
});

describe('properties', () => {
  const prepared = prepare(sunlight()).colour;
  const aperture = fc
    .array(
      fc.record({
        width: fc.double({ min: 5e-6, max: 60e-6, noNaN: true }),
        gap: fc.double({ min: 1e-6, max: 80e-6, noNaN: true }),
      }),
      { minLength: 1, maxLength: 5 },
    )
    .map((list) => {
      let edge = 0;
      return list.map(({ width, gap }) => {
        const centre = edge + gap + width / 2;
        edge += gap + width;
        return { centre, width };
      });
    });
  const sines = Float64Array.from([-0.02, -0.007, -1e-4, 0, 0.003, 0.0111, 0.02]);
  const settings = { seed: 3, numRuns: 40 };

  test('the pattern is never negative, mirrors, and does not care where the aperture stands', () => {
    fc.assert(
      fc.property(aperture, fc.double({ min: -1e-3, max: 1e-3, noNaN: true }), (places, shift) => {
        const here = whitePattern(slitsAt(places), prepared, sines);
        const moved = slitsAt(places.map((slit) => ({ ...slit, centre: slit.centre + shift })));
        const there = whitePattern(moved, prepared, sines);
        const back = whitePattern(slitsAt(places), prepared, sines.map((s) => -s).reverse());
        here.forEach((value, o) => {
          expect(value).toBeGreaterThan(-1e-6);
          expect(Math.abs(value - there[o])).toBeLessThan(1e-6);
          const mirror = 3 * (sines.length - 1 - Math.floor(o / 3)) + (o % 3);
          expect(Math.abs(value - back[mirror])).toBeLessThan(1e-6);
        });
      }),
      settings,
    );
  });

  test('an aperture q times as large has the same pattern at sines q times as small', () => {
    fc.assert(
      fc.property(aperture, fc.double({ min: 0.3, max: 3, noNaN: true }), (places, q) => {
        const large = places.map(({ centre, width }) => ({ centre: centre * q, width: width * q }));
        const here = whitePattern(slitsAt(places), prepared, sines);
        const there = whitePattern(
          slitsAt(large),
          prepared,
          sines.map((s) => s / q),
        );
        here.forEach((value, o) => {
          expect(Math.abs(value - there[o])).toBeLessThan(1e-6);
        });
      }),
      settings,
    );
  });
});

describe('bad input says what is wrong and how to mend it', () => {
  const cases: [FilmStripOptions, RegExp][] = [
    [{ focalLength: 0 }, /focalLength.*greater than 0.*0.*metres/],
    [{ span: -1 }, /span.*-1.*metres/],
    [{ points: 1 }, /points.*from 2 to 100000.*1/],
    [{ points: 2.5 }, /points.*whole.*2\.5/],
    [{ exposure: Number.NaN }, /exposure.*NaN.*factor/],
    [{ sourceWidth: -1e-4 }, /sourceWidth.*negative.*-0\.0001.*0 for none/],
    [{ filmBlur: -1e-4 }, /filmBlur.*negative.*-0\.0001.*0 for none/],
    [{ collimatorFocalLength: 0 }, /collimatorFocalLength.*metres/],
    [{ incidence: 45 }, /incidence is 45 rad.*degrees/],
    [{ scale: 'square' as never }, /scale must be 'linear' or 'log'.*"square"/],
    [{ decades: 0 }, /decades.*powers of ten/],
    [{ whiteBalance: 'sun' as never }, /whiteBalance must be 'auto', 'light' or 'D65'.*"sun"/],
    [{ exposures: 4 } as never, /exposures.*exposure/],
  ];
  test.each(cases)('%j', (options, message) => {
    expect(() => filmStrip(two, sunlight(), options)).toThrow(message);
  });

  test('no light, dark light, light that is not seen', () => {
    const light = (wavelengths: number[], power: number[]) => ({
      name: 'test',
      continuum: { wavelengths, power },
    });
    const strip = (made: unknown) => () => filmStrip(two, made as never, {});
    expect(strip(undefined)).toThrow(/A light is an object.*undefined/);
    expect(strip({ name: 'test' })).toThrow(/empty spectrum/);
    expect(strip(light([], []))).toThrow(/empty spectrum/);
    expect(strip(light([400e-9, 500e-9], [1]))).toThrow(/2 wavelengths and 1 powers/);
    expect(strip(light([400e-9, 500e-9], [0, 0]))).toThrow(/dark/);
    expect(strip(light([400e-9, 500e-9], [1, Number.NaN]))).toThrow(/power 2.*NaN/);
    expect(strip(light([400e-9, 500e-9], [1, -1]))).toThrow(/power 2.*-1/);
    expect(strip(light([500e-9, 400e-9], [1, 1]))).toThrow(/wavelength 2.*Sort/);
    expect(strip(light([400, 500], [1, 1]))).toThrow(/no power that is seen.*metres/);
    expect(strip(laser(1e-6))).toThrow(/no power that is seen/);
  });

  test('slits that cancel ahead, and a path difference beyond the tables', () => {
    const opposed = slitsAt([
      { centre: 0, width: 1e-5 },
      { centre: 5e-5, width: 1e-5, transmission: -1 },
    ]);
    expect(() => filmStrip(opposed, sunlight())).toThrow(/cancel/);
    const vast = slits(2, { width: 1e-5, spacing: 0.1 });
    expect(() => filmStrip(vast, sunlight(), { span: 0.1 })).toThrow(/path difference.*0\.001 m/);
  });
});
