import type { Aperture } from './aperture';
import { generalExtrema } from './general-extrema';
import { type Extremum, type SineRange, spatialRange, withinRange } from './range';
import { type Bright, regularMaxima, regularMinima } from './regular-extrema';
import { regularRun } from './runs';

/** A maximum where the slits are in step, path differences between neighbours being m wavelengths. */
export interface PrincipalMaximum extends Extremum {
  /** Order m; 0 is straight ahead. */
  readonly order: number;
}

/**
 * Minima of the pattern: the zeros s = kλ/(Nd) and s = mλ/a of N equal slits, the dark points of any other.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param range direction sines `from` … `to`, both included; −1 … 1 unless told
 * @returns in ascending s, to 1e-12 of a fringe
 * @throws RangeError, TypeError for an unsound aperture, a wavelength not in 0…1 m, a range that does not ascend
 * @example minima(slits(1, { width: 2e-6 }), 500e-9, { from: 0 })[0].s // 0.25
 */
export function minima(aperture: Aperture, wavelength: number, range: SineRange = {}): Extremum[] {
  const { from, to } = spatialRange(wavelength, range);
  const run = regularRun(aperture);
  const found = run ? regularMinima(run, from, to) : generalExtrema(aperture, from, to).minima;
  return withinRange(found, wavelength, range);
}

/**
 * Principal maxima: that maximum of order m between whose neighbouring minima s = mλ/d lies. The envelope
 * of the single slit is included; it draws each a little towards the top of the lobe that it stands in.
 *
 * @param aperture the slits; orders of unequal spacings are counted with the mean spacing
 * @param wavelength λ, m
 * @param range direction sines `from` … `to`, both included; −1 … 1 unless told
 * @returns in ascending order, missing orders left out; one slit has only order 0
 * @throws RangeError, TypeError as `minima`
 * @example principalMaxima(slits(3, { width: 1e-6, spacing: 4e-6 }), 500e-9, { from: 0 })[0].order // 0
 */
export function principalMaxima(
  aperture: Aperture,
  wavelength: number,
  range: SineRange = {},
): PrincipalMaximum[] {
  return maxima(aperture, wavelength, range).filter(isPrincipal);
}

/**
 * Subsidiary maxima: all the others, between the orders and beside the zeros of the envelope.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param range direction sines `from` … `to`, both included; −1 … 1 unless told
 * @returns in ascending s
 * @throws RangeError, TypeError as `minima`
 * @example subsidiaryMaxima(slits(1, { width: 2e-6 }), 500e-9, { from: 0 })[0].intensity // 0.04719044922581877
 */
export function subsidiaryMaxima(
  aperture: Aperture,
  wavelength: number,
  range: SineRange = {},
): Extremum[] {
  return maxima(aperture, wavelength, range).filter((maximum) => !isPrincipal(maximum));
}

type Maximum = Extremum & Pick<Bright, 'order'>;

function maxima(aperture: Aperture, wavelength: number, range: SineRange): Maximum[] {
  const { from, to } = spatialRange(wavelength, range);
  const run = regularRun(aperture);
  const found = run ? regularMaxima(run, from, to) : generalExtrema(aperture, from, to).maxima;
  return withinRange(found, wavelength, range);
}

const isPrincipal = (maximum: Maximum): maximum is PrincipalMaximum => maximum.order !== undefined;
