import { describe, expect, test } from 'vitest';
import sunCsv from '../../data/astm_g173.csv';
import { blackbody } from '../../kernel-lib/light/blackbody';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { type LampName, lamp } from '../../kernel-lib/light/lamp';
import { colourMatching, observer } from '../../kernel-lib/light/observer';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { chromaticity, xyz } from '../../kernel-lib/light/xyz';
import { linearInterpolant } from '../../kernel-lib/numerics/interpolation';
import linesCsv from './lab-lines.csv';

describe('CIE 1931 2° observer and illuminants (ISO/CIE 11664-1, 11664-2)', () => {
  test.each([
    [450, 0.15664, 0.0177],
    [500, 0.00817, 0.53842],
    [546, 0.27296, 0.71806],
    [589, 0.56926, 0.4301],
    [633, 0.71172, 0.28823],
  ])('the spectral locus at %i nm', (nanometres, x, y) => {
    const [found, other] = chromaticity(colourMatching(nanometres / 1e9));
    expect(found).toBeCloseTo(x, 5);
    expect(other).toBeCloseTo(y, 5);
  });

  /** The sum over the 5 nm table, 380–780 nm, that the published figures were recomputed with. */
  function fiveNanometreSum(name: 'D65' | 'A') {
    const { wavelengths, power } = illuminant(name).continuum!;
    const powerAt = linearInterpolant(wavelengths, power);
    const sum = [0, 0, 0];
    for (let nm = 380; nm <= 780; nm += 5) {
      const weight = powerAt(nm / 1e9);
      const seen = colourMatching(nm / 1e9);
      for (let c = 0; c < 3; c++) sum[c] += weight * seen[c];
    }
    return sum;
  }

  test('D65 by 5 nm: XYZ 0.95043, 1, 1.08880; xy 0.312721, 0.329031', () => {
    const [x, y, z] = fiveNanometreSum('D65');
    expect(x / y).toBeCloseTo(0.95043, 5);
    expect(z / y).toBeCloseTo(1.0888, 5);
    expect(x / (x + y + z)).toBeCloseTo(0.312721, 6);
    expect(y / (x + y + z)).toBeCloseTo(0.329031, 6);
  });

  test('A by 5 nm: xy 0.447575, 0.407446', () => {
    const [x, y, z] = fiveNanometreSum('A');
    expect(x / (x + y + z)).toBeCloseTo(0.447575, 6);
    expect(y / (x + y + z)).toBeCloseTo(0.407446, 6);
  });

  test('by the library’s own sum in steps of 1 nm: the same to 3e-5', () => {
    const daylight = chromaticity(xyz(illuminant('D65')));
    expect(Math.abs(daylight[0] - 0.312721)).toBeLessThan(3e-5);
    expect(Math.abs(daylight[1] - 0.329031)).toBeLessThan(3e-5);
    const tungsten = chromaticity(xyz(illuminant('A')));
    expect(Math.abs(tungsten[0] - 0.447575)).toBeLessThan(3e-5);
    expect(Math.abs(tungsten[1] - 0.407446)).toBeLessThan(3e-5);
  });

  test('a black body at 2855.5 K has the colour of illuminant A, which is defined by Planck’s law', () => {
    // A is Planck's law at 2848 K with c2 = 1.4350e-2 m K: 2848·1.4388/1.4350 K today (CIE 015; figures from memory).
    const [x, y] = chromaticity(xyz(blackbody((2848 * 1.438776877) / 1.435)));
    expect(Math.abs(x - 0.447575)).toBeLessThan(1e-4);
    expect(Math.abs(y - 0.407446)).toBeLessThan(1e-4);
  });

  test('the observer’s table has 471 nanometres, 360–830', () => {
    const { wavelengths } = observer();
    expect(wavelengths).toHaveLength(471);
    expect(wavelengths[0]).toBeCloseTo(360e-9, 15);
    expect(wavelengths[470]).toBeCloseTo(830e-9, 15);
  });
});

describe('sunlight (ASTM G173-03)', () => {
  /** Trapezoidal integral of one column of the shipped table, W/m². */
  function integral(column: number): number {
    const rows = sunCsv
      .trim()
      .split('\n')
      .slice(2)
      .map((line) => line.split(',').map(Number));
    return rows
      .slice(1)
      .reduce(
        (sum, row, i) => sum + ((row[column] + rows[i][column]) / 2) * (row[0] - rows[i][0]),
        0,
      );
  }

  test.each([
    ['extraterrestrial', 1, 1347.934],
    ['global tilt', 2, 1000.371],
    ['direct', 3, 900.139],
  ])('the %s column integrates to the published irradiance', (_, column, irradiance) => {
    expect(integral(column)).toBeCloseTo(irradiance, 2);
  });

  test('sunlight() is the direct column: 900.139 W/m²', () => {
    const { wavelengths, power } = sunlight().continuum!;
    let sum = 0;
    for (let i = 1; i < power.length; i++) {
      sum += ((power[i] + power[i - 1]) / 2) * (wavelengths[i] - wavelengths[i - 1]);
    }
    expect(sum).toBeCloseTo(900.139, 2);
  });
});

describe('lamp lines (NIST ASD vacuum values; air by Peck and Reeder 1972)', () => {
  const species: Record<string, LampName> = {
    Hg: 'mercury',
    Cd: 'cadmium',
    He: 'helium',
    Na: 'sodium',
    H: 'hydrogen',
  };
  const rows = linesCsv
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(','))
    .filter(([name]) => name.split(' ')[0] in species);

  test.each(rows)('%s at %s nm in vacuum, %s nm in air', (name, vacuum, air) => {
    const lampName = species[name.split(' ')[0]];
    const nearest = (medium: 'air' | 'vacuum', nanometres: number) =>
      Math.min(
        ...lamp(lampName, { medium }).lines!.map((line) =>
          Math.abs(line.wavelength * 1e9 - nanometres),
        ),
      );
    expect(nearest('vacuum', Number(vacuum))).toBeLessThan(1e-5);
    expect(nearest('air', Number(air))).toBeLessThan(1e-4);
  });

  test('the Balmer lines stand where 1/λ = R_H (1/4 − 1/n²) has them, to 0.01 nm in vacuum', () => {
    // R_H = R∞/(1 + me/mp) with CODATA 2018 R∞ = 10973731.568160 /m, mp/me = 1836.15267343. Fine structure shifts by less.
    const rydberg = 10973731.56816 / (1 + 1 / 1836.15267343);
    const lines = lamp('hydrogen', { medium: 'vacuum' }).lines!;
    [6, 5, 4, 3].forEach((n, i) => {
      expect(Math.abs(lines[i].wavelength - 1 / (rydberg * (1 / 4 - 1 / n ** 2)))).toBeLessThan(
        1e-11,
      );
    });
  });
});
