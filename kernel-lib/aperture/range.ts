import { requireFinite, shown } from '../numerics/require';
import { requireDirection, requireWavelength } from './amplitude';

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

/** The range in u = s/λ, 1/m. @throws RangeError, TypeError for a bad wavelength, ends not finite, not in −2…2 or not ascending */
export function spatialRange(wavelength: number, range: SineRange): { from: number; to: number } {
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
export function withinRange<T extends { u: number; intensity: number }>(
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

/** Refuses searches that would not end in a reasonable time. */
export function requireSearchable(fringes: number): void {
  if (fringes <= 3e6) return;
  throw new RangeError(
    `About ${Math.round(fringes).toExponential(1)} maxima and minima lie in this range of s: narrow it with { from, to }.`,
  );
}
