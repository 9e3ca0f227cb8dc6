import csvA from '../../data/cie_a.csv';
import csvD65 from '../../data/cie_d65.csv';
import { once } from '../numerics/once';
import { requireOneOf } from '../numerics/require';
import type { Light } from './light';
import { numberColumns } from './observer';

function fromTable(name: string, csv: string): () => Light {
  return once(() => {
    const [nanometres, power] = numberColumns(csv, 1, [1, 1]);
    return {
      name,
      medium: 'air',
      continuum: { wavelengths: nanometres.map((nm) => nm / 1e9), power },
    };
  });
}

const known = {
  D65: fromTable('illuminant D65 (daylight)', csvD65),
  A: fromTable('illuminant A (filament lamp)', csvA),
};

/**
 * A CIE standard illuminant: D65 (average daylight, the white of sRGB) or A (a tungsten lamp near 2856 K).
 *
 * @param name 'D65' or 'A'
 * @returns relative power, 100 at 560 nm, 300–780 nm in steps of 5 nm, straight between
 * @throws RangeError for another name
 * @see ISO/CIE 11664-2
 * @example chromaticity(xyz(illuminant('D65'))) // [0.3127, 0.329]
 */
export function illuminant(name: 'D65' | 'A'): Light {
  return known[requireOneOf('The illuminant', name, ['D65', 'A'])]();
}
