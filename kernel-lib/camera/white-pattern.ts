import { powerAhead } from '../aperture/amplitude';
import type { Aperture } from '../aperture/aperture';
import { type Autocorrelation, autocorrelation } from '../aperture/autocorrelation';
import { runs } from '../aperture/runs';
import { addFarSum, addQuinticSum } from './lag-sum';
import { FARTHEST, type Kind, type LightTables } from './prepared-light';
import { CHANNELS } from './spline';

/**
 * The far field of an aperture in any light: three channels, X, Y, Z or the power, at each direction sine.
 *
 *   ∫ w(λ) I(s/λ) dλ = ∫ A(c) K(cs) dc, K(y) = ∫ w(λ) cos(2πy/λ) dλ
 *
 * The pattern depends on s/λ only, and it is the cosine transform of the aperture's autocorrelation A;
 * so all wavelengths together are one function K, the light's coherence, tabled once for a light. A is
 * straight between its knots c_j; integrated twice by parts only its bends b_j are left:
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

/** Error of the cubic spline in M, for power 1: h⁴k²/384 with h = 5 nm and λ = 450 nm, where Z is largest. */
const CUBIC_ERROR = (5e-9 ** 4 * (2 * Math.PI) ** 2) / (450e-9 ** 2 * 384);

/** What that error may come to in the pattern. */
const TOLERANCE = 5e-7;

/**
 * s⁻² Σ b_j M(c_j s): half the pattern times the intensity ahead.
 *
 * Near s = 0 the division by s² magnifies the table's errors, so there the spline of degree 5 is
 * taken; its second derivative, which is what is left at s = 0, is as exact as its value.
 */
function sharpSums(
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
    const spline = light.quintic('even', closest, reach);
    const into = sums.subarray(CHANNELS * from, CHANNELS * to);
    addQuinticSum(spline, lags, bendRe, sines.subarray(from, to), into);
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

/** |s| below which the spline of degree 3 is too coarse. Errors at different lags have nothing in common, so their squares add. */
function nearerThan(bends: Float64Array, ahead: number): number {
  const weight = Math.sqrt(bends.reduce((sum, bend) => sum + bend * bend, 0));
  return Math.sqrt((2 * weight * CUBIC_ERROR) / (TOLERANCE * ahead));
}

/** Index of the first element for which `holds` is true, by halving, where it is false up to there; the length if there is none. */
function firstIndex(list: Float64Array, holds: (element: number) => boolean): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(list[middle])) high = middle;
    else low = middle + 1;
  }
  return low;
}

/**
 * s⁻² Σ b_j M(c_j s) averaged over one or two boxes in s.
 *
 * The sum over s is a table too: with N(y) = ∫₀ʸ M(u)/u² du,
 *
 *   ∫₀ˢ s′⁻² Σ b_j M(c_j s′) ds′ = Σ b_j c_j N(c_j s)
 *
 * and the average over a box is a difference at its two ends; over two boxes, a second difference of
 * the second integral. So a wide source slit costs no more than a narrow one.
 */
function blurredSums(
  correlation: Autocorrelation,
  light: LightTables,
  s: Float64Array,
  boxes: readonly number[],
  reach: number,
): Float64Array {
  const [one, two] = boxes;
  const ends =
    boxes.length === 1
      ? [
          { at: one / 2, sign: 1 },
          { at: -one / 2, sign: -1 },
        ]
      : [
          { at: (one + two) / 2, sign: 1 },
          { at: (one - two) / 2, sign: -1 },
          { at: (two - one) / 2, sign: -1 },
          { at: -(one + two) / 2, sign: 1 },
        ];
  const area = boxes.reduce((product, box) => product * box, 1);
  const { lags, bendRe, bendIm, real } = correlation;
  // The first integral brings down a factor c_j, the second takes it away again.
  const weights = (bends: Float64Array) =>
    boxes.length === 1 ? bends.map((bend, j) => bend * lags[j]) : bends;
  const times = boxes.length === 1 ? 'once' : 'twice';
  const sums = new Float64Array(CHANNELS * s.length);
  const parts: { kind: Kind; weights: Float64Array; mirrors: 1 | -1 }[] = [
    { kind: `even ${times}`, weights: weights(bendRe), mirrors: boxes.length === 1 ? -1 : 1 },
  ];
  if (!real) {
    parts.push({
      kind: `odd ${times}`,
      weights: weights(bendIm),
      mirrors: boxes.length === 1 ? 1 : -1,
    });
  }
  const found = new Float64Array(sums.length);
  for (const part of parts) {
    const spline = light.quintic(part.kind, reach, reach);
    for (const { at, sign } of ends) {
      const shifted = s.map((value) => value + at);
      found.fill(0);
      addQuinticSum(spline, lags, part.weights, shifted.map(Math.abs), found);
      for (let i = 0, o = 0; i < s.length; i++) {
        const factor = (shifted[i] < 0 ? sign * part.mirrors : sign) / area;
        for (let c = 0; c < CHANNELS; c++, o++) sums[o] += factor * found[o];
      }
    }
  }
  return sums;
}
