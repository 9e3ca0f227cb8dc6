import type { Autocorrelation } from '../aperture/autocorrelation';
import { CHANNELS } from './cells';
import { addCubicSum, addQuinticSum } from './lag-sum';
import type { LightTables } from './prepared-light';

/** Error of the cubic cells in M, for power 1: h⁴k²/384 with h = 5 nm and λ = 450 nm, where Z is largest. */
const CUBIC_ERROR = (5e-9 ** 4 * (2 * Math.PI) ** 2) / (450e-9 ** 2 * 384);
/** What that error may come to in the pattern. */
const TOLERANCE = 5e-7;

/**
 * s⁻² Σ b_j M(c_j s): half the pattern times the intensity ahead.
 *
 * Near s = 0 the division by s² magnifies the table's errors, so there the finer cells of degree 5 are
 * taken; their second derivative, which is what is left at s = 0, is as exact as their value.
 */
export function sharpSums(
  correlation: Autocorrelation,
  light: LightTables,
  s: Float64Array,
  reach: number,
  ahead: number,
): Float64Array {
  const { lags, bendRe, bendIm, real } = correlation;
  const sums = new Float64Array(CHANNELS * s.length);
  const sines = s.map(Math.abs);
  // Errors at different lags have nothing in common, so their squares add.
  const weight = Math.sqrt(bendRe.reduce((sum, bend) => sum + bend * bend, 0));
  const near = Math.sqrt((2 * weight * CUBIC_ERROR) / (TOLERANCE * ahead));
  const from = firstAbove(s, -near);
  const to = Math.max(from, firstAbove(s, near));
  const part = (a: number, b: number) =>
    [sines.subarray(a, b), sums.subarray(CHANNELS * a, CHANNELS * b)] as const;

  const cubic = light.cubic(reach);
  addCubicSum(cubic, lags, bendRe, ...part(0, from));
  addCubicSum(cubic, lags, bendRe, ...part(to, s.length));
  if (to > from) {
    const closest = Math.min(reach, lags[lags.length - 1] * near);
    addQuinticSum(light.quintic('even', closest, reach), lags, bendRe, ...part(from, to));
  }
  const odd = real ? undefined : new Float64Array(sums.length);
  if (odd) addQuinticSum(light.quintic('odd', reach, reach), lags, bendIm, sines, odd);

  for (let i = 0, o = 0; i < s.length; i++, o += CHANNELS) {
    const factor = 1 / (s[i] * s[i]);
    const side = Math.sign(s[i]);
    for (let c = o; c < o + CHANNELS; c++) {
      sums[c] = (odd ? sums[c] + side * odd[c] : sums[c]) * factor;
    }
    if (s[i] !== 0) continue;
    const whole = light.whole(reach);
    for (let c = 0; c < CHANNELS; c++) sums[o + c] = (whole[c] * ahead) / 2;
  }
  return sums;
}

/** Index of the first element above a value in an ascending list. */
function firstAbove(s: Float64Array, value: number): number {
  let [low, high] = [0, s.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (s[middle] > value) high = middle;
    else low = middle + 1;
  }
  return low;
}
