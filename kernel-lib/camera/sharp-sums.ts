import type { Autocorrelation } from '../aperture/autocorrelation';
import { CHANNELS } from './cells';
import { addFarSum, addQuinticSum } from './lag-sum';
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
  const sines = new Float64Array(s.length);
  for (let i = 0; i < s.length; i++) sines[i] = Math.abs(s[i]);
  const near = nearerThan(bendRe, ahead);
  const from = firstIndex(s, (sine) => sine > -near);
  const to = Math.max(
    from,
    firstIndex(s, (sine) => sine > near),
  );
  const far = (outwards: Float64Array, into: Float64Array) => {
    const lines = light.lines(reach);
    const allowed = (TOLERANCE * ahead * light.whole(reach)[1]) / 2;
    addFarSum(light.cubic(reach), lines, allowed, lags, bendRe, outwards, into);
  };
  if (to < s.length) far(sines.subarray(to), sums.subarray(CHANNELS * to));
  if (from > 0) {
    const left = new Float64Array(CHANNELS * from);
    far(sines.slice(0, from).reverse(), left);
    for (let i = 0, o = CHANNELS * (from - 1); o >= 0; o -= CHANNELS, i += CHANNELS) {
      for (let c = 0; c < CHANNELS; c++) sums[o + c] = left[i + c];
    }
  }
  if (to > from) {
    const closest = Math.min(reach, lags[lags.length - 1] * near);
    const cells = light.quintic('even', closest, reach);
    const into = sums.subarray(CHANNELS * from, CHANNELS * to);
    addQuinticSum(cells, lags, bendRe, sines.subarray(from, to), into);
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

/** |s| below which cells of degree 3 are too coarse. Errors at different lags have nothing in common, so their squares add. */
function nearerThan(bends: Float64Array, ahead: number): number {
  const weight = Math.sqrt(bends.reduce((sum, bend) => sum + bend * bend, 0));
  return Math.sqrt((2 * weight * CUBIC_ERROR) / (TOLERANCE * ahead));
}

/**
 * Index of the first element for which `holds` is true, by halving; the length if there is none.
 *
 * @param list elements in such an order that `holds` is false up to some place and true from there on
 * @example firstIndex(Float64Array.of(1, 2, 5), (x) => x > 1) // 1
 */
export function firstIndex(list: Float64Array, holds: (element: number) => boolean): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(list[middle])) high = middle;
    else low = middle + 1;
  }
  return low;
}
