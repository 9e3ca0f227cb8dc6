import type { Autocorrelation } from '../aperture/autocorrelation';
import { CHANNELS } from './cells';
import { addQuinticSum } from './lag-sum';
import type { Kind, LightTables } from './prepared-light';

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
export function blurredSums(
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
    const cells = light.quintic(part.kind, reach, reach);
    for (const { at, sign } of ends) {
      const shifted = s.map((value) => value + at);
      found.fill(0);
      addQuinticSum(cells, lags, part.weights, shifted.map(Math.abs), found);
      for (let i = 0, o = 0; i < s.length; i++) {
        const factor = (shifted[i] < 0 ? sign * part.mirrors : sign) / area;
        for (let c = 0; c < CHANNELS; c++, o++) sums[o] += factor * found[o];
      }
    }
  }
  return sums;
}
