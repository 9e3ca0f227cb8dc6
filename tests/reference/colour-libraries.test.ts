import Color from 'colorjs.io';
import { type Colour, converter, differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { cielab, D65_WHITE, deltaE } from '../../kernel-lib/light/delta-e';
import { dominantWavelength, excitationPurity } from '../../kernel-lib/light/dominant-wavelength';
import type { XYZ } from '../../kernel-lib/light/light';
import { colourMatching } from '../../kernel-lib/light/observer';
import { linearSrgb, srgb } from '../../kernel-lib/light/srgb';
import { adaptationFrom } from '../../kernel-lib/light/white-balance';
import { chromaticity } from '../../kernel-lib/light/xyz';

// Against culori 4.0.2 and colorjs.io 0.7.1, two libraries that share no code with this one.
const toRgb = converter('rgb');
const toOklch = converter('oklch');
const fromXyz = ([x, y, z]: XYZ): Colour => ({ mode: 'xyz65', x, y, z });
const colour = fc.tuple(
  fc.double({ min: 0.001, max: 1, noNaN: true }),
  fc.double({ min: 0.001, max: 1, noNaN: true }),
  fc.double({ min: 0.001, max: 1, noNaN: true }),
);

describe('sRGB (IEC 61966-2-1)', () => {
  test('XYZ (0.3, 0.4, 0.2) is 0.2576156 0.4679249 0.1464925, encoded 0.5445483 0.7138221 0.4188879', () => {
    const printed = {
      linear: [0.2576156, 0.4679249, 0.1464925],
      code: [0.5445483, 0.7138221, 0.4188879],
    };
    linearSrgb([0.3, 0.4, 0.2]).forEach((value, i) => {
      expect(value).toBeCloseTo(printed.linear[i], 6);
    });
    srgb([0.3, 0.4, 0.2]).forEach((value, i) => {
      expect(value).toBeCloseTo(printed.code[i], 6);
    });
  });

  test('the standard’s white and primaries', () => {
    for (const value of linearSrgb(D65_WHITE)) expect(value).toBeCloseTo(1, 4);
    for (const [x, y, at] of [
      [0.64, 0.33, 0],
      [0.3, 0.6, 1],
      [0.15, 0.06, 2],
    ]) {
      const rgb = linearSrgb([x / y, 1, (1 - x - y) / y]);
      rgb.forEach((value, i) => {
        if (i !== at) expect(Math.abs(value / rgb[at])).toBeLessThan(1e-4);
      });
    }
  });

  test('colours that the screen has agree with culori and colorjs.io', () => {
    fc.assert(
      fc.property(colour, (tried) => {
        const theirs = toRgb(fromXyz(tried));
        const other = new Color('xyz-d65', tried).to('srgb').coords;
        const values = [theirs.r, theirs.g, theirs.b];
        if (Math.min(...values) < 0 || Math.max(...values) > 1) return;
        srgb(tried).forEach((value, i) => {
          expect(Math.abs(value - values[i])).toBeLessThan(1e-6);
          expect(Math.abs(value - Number(other[i]))).toBeLessThan(1e-6);
        });
      }),
      { seed: 20, numRuns: 300 },
    );
  });

  test('spectral colours keep their Oklab hue to a twentieth of a degree, as culori counts it', () => {
    for (let nm = 400; nm <= 690; nm += 1) {
      const seen = colourMatching(nm / 1e9);
      const bright: XYZ = [seen[0] / 4, seen[1] / 4, seen[2] / 4];
      const [r, g, b] = srgb(bright);
      const turn = toOklch({ mode: 'rgb', r, g, b }).h - toOklch(fromXyz(bright)).h;
      expect(Math.abs(turn - 360 * Math.round(turn / 360))).toBeLessThan(0.05);
    }
  });

  test('overexposed red stays red, overexposed white stays white', () => {
    const red = srgb([0.4124 * 50, 0.2126 * 50, 0.0193 * 50]);
    expect(red[0]).toBeCloseTo(1, 6);
    expect(Math.max(red[1], red[2])).toBeLessThan(0.05);
    for (const value of srgb(D65_WHITE, { exposure: 50 })) expect(value).toBeCloseTo(1, 3);
  });
});

describe('CIELAB and CIEDE2000 (ISO/CIE 11664-4, 11664-6)', () => {
  const theirDifference = differenceCiede2000();

  test('CIELAB agrees with colorjs.io', () => {
    fc.assert(
      fc.property(colour, (tried) => {
        const theirs = new Color('xyz-d65', tried).to('lab-d65').coords;
        cielab(tried).forEach((value, i) => {
          expect(Math.abs(value - Number(theirs[i]))).toBeLessThan(1e-6);
        });
      }),
      { seed: 21, numRuns: 200 },
    );
  });

  test('the difference agrees with colorjs.io and culori', () => {
    const lab = ([l, a, b]: readonly number[]): Colour => ({ mode: 'lab65', l, a, b });
    fc.assert(
      fc.property(colour, colour, (one, other) => {
        const ours = deltaE(one, other);
        expect(Math.abs(theirDifference(lab(cielab(one)), lab(cielab(other))) - ours)).toBeLessThan(
          1e-6,
        );
        // colorjs.io compares in its own Lab, so it is given the coordinates as they are.
        const theirs = new Color('lab', cielab(one)).deltaE2000(new Color('lab', cielab(other)));
        expect(Math.abs(theirs - ours)).toBeLessThan(1e-6);
      }),
      { seed: 22, numRuns: 400 },
    );
  });
});

test('Bradford adaptation takes D50 to D65 as colorjs.io does', () => {
  const d50: XYZ = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585];
  const M = adaptationFrom(d50);
  fc.assert(
    fc.property(colour, (tried) => {
      const theirs = new Color('xyz-d50', tried).to('xyz-d65').coords;
      [0, 3, 6].forEach((row, i) => {
        const ours = M[row] * tried[0] + M[row + 1] * tried[1] + M[row + 2] * tried[2];
        expect(Math.abs(ours - Number(theirs[i]))).toBeLessThan(1e-6);
      });
    }),
    { seed: 23, numRuns: 100 },
  );
});

describe('dominant wavelength and purity', () => {
  test('a colour of the spectrum is its own dominant wavelength, at purity 1', () => {
    for (let nm = 420; nm <= 680; nm += 0.5 * 7) {
      const seen = chromaticity(colourMatching(nm / 1e9));
      const found = dominantWavelength(seen);
      expect(found.kind).toBe('dominant');
      expect(found.wavelength * 1e9).toBeCloseTo(nm, 0);
      expect(excitationPurity(seen)).toBeCloseTo(1, 3);
    }
  });

  // The sRGB primaries against D65; common practice (611.4, 549.1, 464.2 nm), from memory.
  test.each([
    ['red', 0.64, 0.33, 611.4],
    ['green', 0.3, 0.6, 549.1],
    ['blue', 0.15, 0.06, 464.2],
  ])('the %s of sRGB', (_, x, y, nanometres) => {
    expect(Math.abs(dominantWavelength([x, y]).wavelength * 1e9 - nanometres)).toBeLessThan(0.3);
  });
});
