import csv from '../../data/lamp_lines.csv';
import { once } from '../numerics/once';
import { requireOneOf, requirePositive } from '../numerics/require';
import type { Light, SpectralLine } from './light';

/** Spectral lamps of which data/lamp_lines.csv has the lines. */
export type LampName = 'sodium' | 'mercury' | 'cadmium' | 'helium' | 'hydrogen';

const rows = once(() =>
  csv
    .trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => {
      const [lamp, species, vacuum, air, strength] = line.split(',');
      return {
        lamp,
        label: `${species} ${Number(air).toFixed(1)} nm`,
        vacuum: Number(vacuum) / 1e9,
        air: Number(air) / 1e9,
        power: Number(strength),
      };
    }),
);

/**
 * The lines of a spectral lamp, in air unless the vacuum wavelengths are asked for.
 *
 * The strengths are relative within one lamp and rough: of mercury and cadmium NIST's relative
 * intensities, of sodium 2 : 1, of helium and hydrogen from memory (data/SOURCES.md says which).
 * Mercury lamps give ultraviolet light: leave the glass on, do not look into them.
 *
 * @param name 'sodium', 'mercury', 'cadmium', 'helium' or 'hydrogen'
 * @param options medium: 'air' (default) or 'vacuum'
 * @throws RangeError for another name or medium
 * @see NIST Atomic Spectra Database, as data/SOURCES.md says
 * @example lamp('sodium').lines.map((line) => line.wavelength) // [588.9951e-9, 589.5924e-9]
 */
export function lamp(name: LampName, options: { medium?: 'air' | 'vacuum' } = {}): Light {
  const { medium = 'air' } = options;
  requireOneOf('The medium', medium, ['air', 'vacuum']);
  requireOneOf('The lamp', name, [...new Set(rows().map((row) => row.lamp as LampName))]);
  const lines: SpectralLine[] = rows()
    .filter((row) => row.lamp === name)
    .map((row) => ({ wavelength: row[medium], power: row.power, label: row.label }));
  return { name: `${name} lamp`, medium, lines };
}

/**
 * One wavelength, such as a laser gives. Never let a laser's beam, or its reflection, meet an eye.
 *
 * @param wavelength λ in air, m: 360–830 nm is seen
 * @throws RangeError when it is not a finite number above 0, or so large that it was not metres
 * @example laser(632.8e-9).lines[0].wavelength // 6.328e-7
 */
export function laser(wavelength: number): Light {
  requirePositive('The wavelength of the laser', wavelength, 'give metres, such as 632.8e-9');
  if (wavelength > 1e-3) {
    throw new RangeError(
      `The wavelength of the laser is ${wavelength} m: that is no light. Give metres, such as 632.8e-9 or nm(632.8).`,
    );
  }
  const nanometres = Number((wavelength * 1e9).toFixed(3));
  return { name: `laser ${nanometres} nm`, medium: 'air', lines: [{ wavelength, power: 1 }] };
}
