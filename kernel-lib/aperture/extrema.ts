import { requireFinite, shown } from '../numerics/require';
import { requireWavelength } from './amplitude';
import type { Aperture } from './aperture';
import { requireDirection } from './direction';
import { generalExtrema } from './general-extrema';
import { type Bright, regularMaxima, regularMinima } from './regular-extrema';
import { regularRun } from './runs';

/** Direction sines from … to, both included, within −2…2. */
export interface SineRange {
  /** Lower end; −1 unless told. */
  readonly from?: number;
  /** Upper end; 1 unless told. */
  readonly to?: number;
}

/** A point where the intensity stops rising or falling. */
export interface Extremum {
  /** Direction sine sin θ − sin θi. */
  readonly s: number;
  /** Intensity relative to that at s = 0. */
  readonly intensity: number;
}

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

/** The range in u = s/λ, 1/m. @throws RangeError, TypeError for a bad wavelength, ends not finite, not in −2…2 or not ascending */
function spatialRange(wavelength: number, range: SineRange): { from: number; to: number } {
  requireWavelength(wavelength);
  if (typeof range !== 'object' || range === null || Array.isArray(range)) {
    throw new TypeError(
      `The range of s is written { from: 0, to: 0.1 }, but ${shown(range)} was given.`,
    );
  }
  const { from = -1, to = 1 } = range;
  requireFinite('The lower end of the range of s', from, 'give { from, to } as direction sines');
  requireFinite('The upper end of the range of s', to, 'give { from, to } as direction sines');
  if (from >= to) {
    throw new RangeError(
      `The range of s must ascend, but goes from ${from} to ${to}: exchange the ends.`,
    );
  }
  requireDirection(from);
  requireDirection(to);
  return { from: from / wavelength, to: to / wavelength };
}

/** The extrema at u = s/λ that lie in the range, as direction sines. */
function withinRange<T extends { u: number; intensity: number }>(
  found: readonly T[],
  wavelength: number,
  range: SineRange,
): (Omit<T, 'u'> & Extremum)[] {
  const { from = -1, to = 1 } = range;
  // λ/d · m may miss the end of the range by rounding alone.
  const slack = 4 * Number.EPSILON * Math.max(Math.abs(from), Math.abs(to));
  return found
    .map(({ u, ...rest }) => ({ ...rest, s: u * wavelength }))
    .filter(({ s }) => s >= from - slack && s <= to + slack)
    .map((extremum) => ({ ...extremum, s: Math.min(to, Math.max(from, extremum.s)) }));
}
