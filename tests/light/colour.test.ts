import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { deltaE } from '../../kernel-lib/light/delta-e';
import {
  colourName,
  D65_CHROMATICITY,
  dominantWavelength,
  excitationPurity,
} from '../../kernel-lib/light/dominant-wavelength';
import { filtered, passband } from '../../kernel-lib/light/filtered';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { lamp, laser } from '../../kernel-lib/light/lamp';
import type { Chromaticity, XYZ } from '../../kernel-lib/light/light';
import { colourMatching } from '../../kernel-lib/light/observer';
import { srgb } from '../../kernel-lib/light/srgb';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { isWhite } from '../../kernel-lib/light/white-balance';
import { chromaticity, xyz } from '../../kernel-lib/light/xyz';

const of = (light: Parameters<typeof xyz>[0]) => chromaticity(xyz(light));
const mix = (a: Chromaticity, b: Chromaticity, share: number): Chromaticity => [
  a[0] + share * (b[0] - a[0]),
  a[1] + share * (b[1] - a[1]),
];

describe('xyz', () => {
  test('of a laser is the observer’s values there, relative to Y', () => {
    const [x, y, z] = colourMatching(546e-9);
    const found = xyz(laser(546e-9));
    expect(found[0]).toBeCloseTo(x / y, 12);
    expect(found[1]).toBe(1);
    expect(found[2]).toBeCloseTo(z / y, 12);
  });

  test('relative to another light tells how much a filter takes away', () => {
    const sun = sunlight();
    const band = (centre: number) => filtered(sun, passband(centre, 20e-9));
    const share = (centre: number) => xyz(band(centre), { relativeTo: sun })[1];
    // The eye sees most near 555 nm; a band of 20 nm there holds some 20 nm / 107 nm of Y.
    expect(share(555e-9)).toBeGreaterThan(0.15);
    expect(share(555e-9)).toBeLessThan(0.25);
    expect(share(700e-9)).toBeLessThan(0.002);
  });

  test('bands side by side add up to the whole', () => {
    const sun = sunlight();
    // Edges overlap so that transmissions sum to 1: passbands of width 20 nm, 20 nm apart.
    const sum = [0, 0, 0];
    for (let nm = 360; nm <= 820; nm += 20) {
      const part = xyz(filtered(sun, passband(nm / 1e9, 20e-9)), { relativeTo: sun });
      part.forEach((value, c) => {
        sum[c] += value;
      });
    }
    xyz(sun).forEach((value, c) => {
      expect(sum[c] / value).toBeCloseTo(1, 4);
    });
  });

  test('black has no chromaticity', () => {
    expect(() => chromaticity([0, 0, 0])).toThrow(/no chromaticity/);
    expect(() => chromaticity([1, Number.NaN, 1])).toThrow(/NaN/);
  });
});

describe('dominant wavelength and purity', () => {
  test('white mixed with a wavelength has that dominant wavelength, and the share is the purity', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 400, max: 680 }),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (nm, share) => {
          const mixed = mix(D65_CHROMATICITY, chromaticity(colourMatching(nm / 1e9)), share);
          expect(dominantWavelength(mixed).wavelength * 1e9).toBeCloseTo(nm, 1);
          expect(excitationPurity(mixed)).toBeCloseTo(share, 6);
        },
      ),
      { seed: 5, numRuns: 200 },
    );
  });

  test('taking a wavelength away from white leaves its complement', () => {
    const green = chromaticity(colourMatching(546e-9));
    const without = mix(D65_CHROMATICITY, green, -0.2);
    const { kind, wavelength } = dominantWavelength(without);
    expect(kind).toBe('complementary');
    expect(wavelength).toBeCloseTo(546e-9, 10);
  });

  test('purity is 1 on the line of purples', () => {
    const ends = [380, 699].map((nm) => chromaticity(colourMatching(nm / 1e9)));
    expect(excitationPurity(mix(ends[0], ends[1], 0.4))).toBeCloseTo(1, 9);
  });

  test('white has purity 0 and no dominant wavelength; a white must lie inside', () => {
    expect(excitationPurity(D65_CHROMATICITY)).toBe(0);
    expect(() => dominantWavelength(D65_CHROMATICITY)).toThrow(/white itself/);
    expect(() => dominantWavelength([0.3, 0.3], [0.9, 0.9])).toThrow(/outside the colours/);
    expect(() => excitationPurity([Number.NaN, 0.3])).toThrow(/NaN/);
  });
});

describe('names for learners', () => {
  test.each([
    ['sunlight', of(sunlight()), 'white'],
    ['daylight', of(illuminant('D65')), 'white'],
    ['a sodium lamp', of(lamp('sodium')), 'amber'],
    ['the green of mercury', of(laser(546.1e-9)), 'green'],
    ['the blue of mercury', of(laser(435.8e-9)), 'violet'],
    ['a helium-neon laser', of(laser(632.8e-9)), 'red'],
    ['hydrogen’s second line', of(laser(486.1e-9)), 'blue-green'],
    ['570 nm', of(laser(569e-9)), 'yellow-green'],
    ['577 nm', of(laser(577e-9)), 'yellow'],
    ['605 nm', of(laser(605e-9)), 'orange'],
    ['470 nm', of(laser(470e-9)), 'blue'],
    ['white without green', [0.3, 0.2], 'purple'],
    ['red with a little violet', [0.5, 0.25], 'red-purple'],
    ['white with a little green', mix(D65_CHROMATICITY, of(laser(530e-9)), 0.3), 'pale green'],
  ] as [string, Chromaticity, string][])('%s', (_, colour, name) => {
    expect(colourName(colour)).toBe(name);
  });

  test('to an eye adapted to a filament lamp the lamp is white', () => {
    const tungsten = of(illuminant('A'));
    expect(colourName(tungsten)).toBe('amber');
    expect(colourName(tungsten, tungsten)).toBe('white');
  });
});

test('white lights are those of glowing bodies and daylight', () => {
  for (const light of [sunlight(), illuminant('D65'), illuminant('A')]) {
    expect(isWhite(light)).toBe(true);
  }
  for (const light of [
    lamp('mercury'),
    lamp('sodium'),
    laser(550e-9),
    filtered(sunlight(), passband(650e-9, 40e-9)),
    filtered(sunlight(), passband(580e-9, 10e-9)),
    filtered(sunlight(), passband(480e-9, 40e-9)),
  ]) {
    expect(isWhite(light)).toBe(false);
  }
});

describe('srgb', () => {
  test('is always within 0…1, and exposure never darkens', () => {
    const value = fc.double({ min: 0, max: 3, noNaN: true });
    fc.assert(
      fc.property(value, value, value, (x, y, z) => {
        const [dim, bright] = [srgb([x, y, z]), srgb([x, y, z], { exposure: 2 })];
        for (const part of [...dim, ...bright]) {
          expect(part).toBeGreaterThanOrEqual(0);
          expect(part).toBeLessThanOrEqual(1 + 1e-12);
        }
        expect(Math.max(...bright)).toBeGreaterThanOrEqual(Math.max(...dim) - 1e-9);
      }),
      { seed: 6, numRuns: 500 },
    );
  });

  test('refuses what is not a colour or an exposure', () => {
    expect(() => srgb([1, Number.NaN, 1])).toThrow(/NaN.*finite/);
    expect(() => srgb([1, 1, 1], { exposure: 0 })).toThrow(/exposure.*greater than 0/);
  });
});

describe('deltaE', () => {
  test('is 0 for equal colours, the same both ways, and refuses NaN', () => {
    const [one, other]: XYZ[] = [
      [0.2, 0.3, 0.4],
      [0.25, 0.28, 0.3],
    ];
    expect(deltaE(one, one)).toBe(0);
    expect(deltaE(one, other)).toBeCloseTo(deltaE(other, one), 12);
    expect(() => deltaE(one, [0, Number.NaN, 0])).toThrow(/NaN/);
  });
});
