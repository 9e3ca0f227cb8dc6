import type { Aperture } from '../aperture/aperture';
import { type Autocorrelation, autocorrelation } from '../aperture/autocorrelation';
import { addLagSum } from './lag-sum';
import { FARTHEST, type PreparedLight } from './prepared-light';
import { CHANNELS } from './quintic-cells';

/**
 * The far field of an aperture in any light: X, Y, Z and power at each direction sine.
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
 * @param light a prepared light
 * @param s direction sines
 * @returns 4 numbers for each s, relative to Y = 1 and power = 1 at s = 0
 * @see Wiener–Khinchin theorem
 */
export function whitePattern(
  aperture: Aperture,
  light: PreparedLight,
  s: Float64Array,
): Float64Array {
  const correlation = autocorrelation(aperture);
  const { lags, bendRe } = correlation;
  const sines = isMirrored(s) ? s.subarray(s.length >> 1) : s.map(Math.abs);
  const reach = lags[lags.length - 1] * largest(sines);
  if (reach > FARTHEST) throw new RangeError(tooFar(reach));
  const sums = new Float64Array(CHANNELS * sines.length);
  addLagSum(light.table(reach), lags, bendRe, sines, sums);
  scaleBySines(sums, sines, light.whole(reach), powerAhead(correlation));
  return sines.length < s.length ? mirrored(sums, s.length) : sums;
}

/** From Σ b M to the pattern, relative to s = 0, where the limit is the light itself. */
function scaleBySines(sums: Float64Array, s: Float64Array, whole: Float64Array, ahead: number) {
  for (let i = 0; i < s.length; i++) {
    const factor = 2 / (s[i] * s[i] * ahead);
    for (let c = 0; c < CHANNELS; c++) {
      const unit = c === 3 ? whole[3] : whole[1];
      const o = CHANNELS * i + c;
      sums[o] = (s[i] === 0 ? whole[c] : factor * sums[o]) / unit;
    }
  }
}

/** |∫ t dx|², the intensity at s = 0: the integral of A, or Σ b_j c_j². */
function powerAhead({ lags, bendRe }: Autocorrelation): number {
  return lags.reduce((sum, lag, j) => sum + bendRe[j] * lag * lag, 0);
}

/** Whether s runs from −S to S in equal pairs, so that half of a mirror-symmetric pattern will do. */
function isMirrored(s: Float64Array): boolean {
  for (let i = 0, j = s.length - 1; i <= j; i++, j--) if (s[i] !== -s[j]) return false;
  return true;
}

/** The whole pattern from its right half. */
function mirrored(half: Float64Array, count: number): Float64Array {
  const full = new Float64Array(CHANNELS * count);
  full.set(half, CHANNELS * (count >> 1));
  for (let i = 0; i < count >> 1; i++) {
    const from = CHANNELS * (count - 1 - i);
    full.copyWithin(CHANNELS * i, from, from + CHANNELS);
  }
  return full;
}

function largest(s: Float64Array): number {
  return s.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

function tooFar(reach: number): string {
  return `The aperture's widest lag times the largest sine is ${reach} m, but ${FARTHEST} m is the most: show a narrower span, or take fewer or closer slits.`;
}
