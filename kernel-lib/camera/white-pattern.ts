import { powerAhead } from '../aperture/amplitude';
import type { Aperture } from '../aperture/aperture';
import { type Autocorrelation, autocorrelation } from '../aperture/autocorrelation';
import { runs } from '../aperture/runs';
import { blurredSums } from './blurred-sums';
import { FARTHEST, type LightTables } from './prepared-light';
import { sharpSums } from './sharp-sums';

/**
 * The far field of an aperture in any light: three channels, X, Y, Z or the power, at each direction sine.
 *
 *   ∫ w(λ) I(s/λ) dλ = ∫ A(c) K(cs) dc, K(y) = ∫ w(λ) cos(2πy/λ) dλ
 *
 * The pattern depends on s/λ only, and it is the cosine transform of the aperture's autocorrelation A;
 * so all wavelengths together are one kernel K, tabled once for a light. A is straight between its
 * knots c_j; integrated twice by parts only its bends b_j are left:
 *
 *   ∫ A(c) K(cs) dc = (2/s²) Σ b_j M(c_j s), M″ = K, over the knots c_j > 0
 *
 * @param aperture the slits
 * @param light a prepared light's colour or power
 * @param s direction sines, ascending
 * @param boxes widths in s over which the pattern is averaged, one after the other (source slit, film)
 * @returns 3 numbers for each s, relative to 1 of the middle one in the sharp pattern at s = 0
 * @throws RangeError when the amplitudes cancel at s = 0, or lag times sine goes too far
 * @see Wiener–Khinchin theorem
 */
export function whitePattern(
  aperture: Aperture,
  light: LightTables,
  s: Float64Array,
  boxes: readonly number[] = [],
): Float64Array {
  const ahead = powerAhead(runs(aperture));
  const correlation = lagsOf(aperture);
  const reach = farthest(correlation, s, boxes);
  const sums = boxes.length
    ? blurredSums(correlation, light, s, boxes, reach)
    : sharpSums(correlation, light, s, reach, ahead);
  const unit = 2 / (ahead * light.whole(reach)[1]);
  for (let o = 0; o < sums.length; o++) sums[o] *= unit;
  return sums;
}

/** The pattern relative to its own value at s = 0, blurred or not; arguments as of `whitePattern`. */
export function relativePattern(
  aperture: Aperture,
  light: LightTables,
  s: Float64Array,
  boxes: readonly number[],
): Float64Array {
  const pattern = whitePattern(aperture, light, s, boxes);
  if (boxes.length === 0) return pattern;
  const [, ahead] = whitePattern(aperture, light, new Float64Array(1), boxes);
  return pattern.map((value) => value / ahead);
}

/** Whether the pattern is the same on both sides of s = 0, as without phase plates it is. */
export function isEven(aperture: Aperture): boolean {
  return lagsOf(aperture).real;
}

const correlations = new WeakMap<Aperture, Autocorrelation>();

/** The autocorrelation without its knot at lag 0, which adds nothing; kept for each aperture. */
function lagsOf(aperture: Aperture): Autocorrelation {
  let found = correlations.get(aperture);
  if (!found) {
    const { lags, re, im, bendRe, bendIm, real } = autocorrelation(aperture);
    const from = lags[0] === 0 ? 1 : 0;
    found = {
      lags: lags.subarray(from),
      re: re.subarray(from),
      im: im.subarray(from),
      bendRe: bendRe.subarray(from),
      bendIm: bendIm.subarray(from),
      real,
    };
    if (Object.isFrozen(aperture)) correlations.set(aperture, found);
  }
  return found;
}

/** The largest |c s| that a sum meets. */
function farthest({ lags }: Autocorrelation, s: Float64Array, boxes: readonly number[]): number {
  const widest = Math.max(Math.abs(s[0]), Math.abs(s[s.length - 1]));
  const beyond = boxes.reduce((sum, box) => sum + box / 2, 0);
  const reach = lags[lags.length - 1] * (widest + beyond);
  if (reach <= FARTHEST) return reach;
  throw new RangeError(
    `The aperture's width times the largest direction sine is ${reach} m of path difference, but ${FARTHEST} m is the most: show a narrower span, or take fewer or closer slits.`,
  );
}
