import csv from '../../data/astm_g173.csv';
import { once } from '../numerics/once';
import type { Light } from './light';
import { numberColumns } from './observer';

const NANOMETRE = 1e-9;

/**
 * Light straight from the sun's disc, at sea level with the sun 48° from the zenith (air mass 1.5):
 * the direct column of ASTM G173-03, 280–4000 nm, with the dips that air, water and ozone leave.
 *
 * Wavelengths in m, power in W m⁻² per m. Its steps (0.5 nm to 400 nm, then 1 nm) do not resolve
 * the sodium pair. Never look at the sun, nor let a lens or mirror send its light into an eye: stacked strips of it say so.
 *
 * @see ASTM G173-03 (SMARTS 2.9.2), data/SOURCES.md
 * @example sunlight().continuum.power.length // 2002
 */
export const sunlight: () => Light = once(() => {
  const [wavelengths, , , direct] = numberColumns(csv, 2, [1, 1, 1, 1 / NANOMETRE]);
  return {
    name: 'sunlight',
    medium: 'air',
    caution:
      'If you show this for real: sunlight behind a lens or from a mirror blinds and burns, so nobody looks along the beam or through a lens or telescope at it; local rules and the responsible safety officer decide',
    continuum: { wavelengths: wavelengths.map((nm) => nm / 1e9), power: direct },
  };
});
