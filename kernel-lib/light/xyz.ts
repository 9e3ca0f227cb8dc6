import { linearInterpolant } from '../numerics/interpolation';
import { subdivided } from './filtered';
import { type Chromaticity, checkLight, type Light, type XYZ } from './light';
import { colourMatching, observer, SEEN_FROM, SEEN_TO } from './observer';

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

/** A light as a finite sum: at each wavelength (m) what it adds to X, Y, Z, interleaved, and to the power seen. */
export interface SpectralWeights {
  readonly wavelengths: Float64Array;
  readonly weights: Float64Array;
  readonly power: Float64Array;
}

/**
 * The sum that stands for ∫ w(λ) x̄(λ) dλ and its fellows everywhere in this library.
 *
 * The wavelengths are those of the light and of the observer's table together, with steps of at
 * most `step`, each weighted by the trapezoidal rule; lines come as they are. Only what the
 * observer sees counts: 360–830 nm.
 *
 * @param light any light
 * @param step widest step, m; 1 nm unless a pattern needs finer ones
 * @throws RangeError when nothing lies in 360–830 nm
 */
export function spectralWeights(light: Light, step = 1e-9): SpectralWeights {
  checkLight(light);
  const wavelengths: number[] = [];
  const powers: number[] = [];
  if (light.continuum) addContinuum(light.continuum, step, wavelengths, powers);
  for (const line of light.lines ?? []) {
    if (line.wavelength < SEEN_FROM || line.wavelength > SEEN_TO) continue;
    wavelengths.push(line.wavelength);
    powers.push(line.power);
  }
  const weights = new Float64Array(3 * wavelengths.length);
  let seen = 0;
  wavelengths.forEach((wavelength, i) => {
    const [x, y, z] = colourMatching(wavelength);
    weights.set([x * powers[i], y * powers[i], z * powers[i]], 3 * i);
    seen += y * powers[i];
  });
  if (!(seen > 0)) {
    throw new RangeError(
      `The light "${light.name}" has no power that is seen: some of it must lie between 360 and 830 nm. Are its wavelengths in metres?`,
    );
  }
  return { wavelengths: Float64Array.from(wavelengths), weights, power: Float64Array.from(powers) };
}

function addContinuum(
  continuum: NonNullable<Light['continuum']>,
  step: number,
  wavelengths: number[],
  powers: number[],
): void {
  const from = Math.max(SEEN_FROM, continuum.wavelengths[0]);
  const to = Math.min(SEEN_TO, continuum.wavelengths.at(-1)!);
  if (!(to > from)) return;
  const knots = [from, to, ...continuum.wavelengths, ...observer().wavelengths]
    .filter((wavelength) => wavelength >= from && wavelength <= to)
    .sort((a, b) => a - b);
  const grid = subdivided(knots, step);
  const powerAt = linearInterpolant(continuum.wavelengths, continuum.power);
  grid.forEach((wavelength, i) => {
    const width = ((grid[i + 1] ?? wavelength) - (grid[i - 1] ?? wavelength)) / 2;
    wavelengths.push(wavelength);
    powers.push(powerAt(wavelength) * width);
  });
}
