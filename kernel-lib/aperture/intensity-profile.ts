import { requireList } from '../numerics/require';
import { power, powerAhead, requireDirection, requireWavelength } from './amplitude';
import type { Aperture } from './aperture';
import { powersAtEvenSteps } from './even-steps';
import { runs } from './runs';

/**
 * `intensity` at many direction sines at once. Where s is evenly spaced every phase turns by the same
 * angle from point to point, so a complex product takes the place of its sine and cosine. Nothing is
 * allocated per point.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param s direction sines, −2…2, in any order
 * @returns relative intensities, one for each s, within 1e-12 of `intensity`
 * @throws RangeError, TypeError as `intensity`
 * @example intensityProfile(slits(1, { width: 4e-5 }), 5e-7, [0, 0.0125])[0] // 1
 */
export function intensityProfile(
  aperture: Aperture,
  wavelength: number,
  s: ArrayLike<number>,
): Float64Array {
  const list = runs(aperture);
  const ahead = powerAhead(list);
  requireWavelength(wavelength);
  requireList('s', s, 'give direction sines, or use intensity for a single one');
  const profile = new Float64Array(s.length);
  const step = evenStep(s);
  if (step !== undefined) {
    // Those between lie between these.
    requireDirection(s[0]);
    requireDirection(s[s.length - 1]);
    powersAtEvenSteps(profile, list, s[0] / wavelength, step / wavelength, ahead);
    return profile;
  }
  for (let i = 0; i < s.length; i++) {
    profile[i] = power(list, requireDirection(s[i]) / wavelength) / ahead;
  }
  return profile;
}

/** The step of nine or more evenly spaced values; undefined where one lies off by more than its rounding, or is not finite. */
export function evenStep(s: ArrayLike<number>): number | undefined {
  const last = s.length - 1;
  if (last < 8) return undefined;
  const step = (s[last] - s[0]) / last;
  const slack = 4 * Number.EPSILON * Math.max(Math.abs(s[0]), Math.abs(s[last]));
  // A step that is not finite fails here too: 0 times it is not a number.
  for (let i = 0; i <= last; i++)
    if (!(Math.abs(s[i] - s[0] - i * step) <= slack)) return undefined;
  return step;
}
