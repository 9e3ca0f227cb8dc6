import { checkLight } from './check-light';
import type { Chromaticity, Light, XYZ } from './light';
import { spectralWeights } from './spectral-weights';

const known = new WeakMap<Light, XYZ>();

/** X, Y, Z of a light in its own units: ∫ w x̄ dλ + the lines' share. */
function rawXyz(light: Light): XYZ {
  checkLight(light);
  let sum = known.get(light);
  if (!sum) {
    const { wavelengths, weights } = spectralWeights(light);
    const total = [0, 0, 0];
    for (let i = 0; i < wavelengths.length; i++) {
      for (let c = 0; c < 3; c++) total[c] += weights[3 * i + c];
    }
    sum = [total[0], total[1], total[2]];
    known.set(light, sum);
  }
  return sum;
}

/**
 * Tristimulus values of a light, by the CIE 1931 2° observer.
 *
 *   X = k ∫ w(λ) x̄(λ) dλ, and so for Y and Z; k makes Y = 1
 *
 * @param light any light
 * @param options relativeTo: a light whose Y counts as 1 instead, such as the light before a filter
 * @returns [X, Y, Z], without unit
 * @throws RangeError when nothing of it lies in 360–830 nm
 * @see CIE 015; ISO/CIE 11664-3
 * @example xyz(illuminant('D65')) // [0.9505, 1, 1.0888]
 */
export function xyz(light: Light, options: { relativeTo?: Light } = {}): XYZ {
  const [x, y, z] = rawXyz(light);
  const unit = rawXyz(options.relativeTo ?? light)[1];
  return [x / unit, y / unit, z / unit];
}

/**
 * Chromaticity of a colour.
 *
 *   x = X/(X + Y + Z), y = Y/(X + Y + Z)
 *
 * @param colour [X, Y, Z], not all 0
 * @returns [x, y]
 * @throws RangeError for black, which has no chromaticity, and for what is not a number
 * @see ISO/CIE 11664-3
 * @example chromaticity([0.9504, 1, 1.0888]) // [0.3127, 0.329]
 */
export function chromaticity(colour: XYZ): Chromaticity {
  const [x, y, z] = colour;
  const sum = x + y + z;
  if (!(Number.isFinite(sum) && sum > 0)) {
    throw new RangeError(
      `The colour XYZ = (${x}, ${y}, ${z}) has no chromaticity: X + Y + Z must be a finite number above 0.`,
    );
  }
  return [x / sum, y / sum];
}
