import { linearInterpolant } from '../numerics/interpolation';
import { checkLight } from './check-light';
import { subdivided } from './filtered';
import type { Light } from './light';
import { colourMatching, observer, SEEN_FROM, SEEN_TO } from './observer';

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
