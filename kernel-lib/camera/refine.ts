import { CHANNELS } from './cells';

/** Samples on each side that an interpolated value is made of. */
export const TAPS = 12;
/** Decay of the window, for samples that lie three times as close as they must. */
const STEEPNESS = ((Math.PI * 2) / 3) * TAPS;

/** Values and, if asked for, derivatives (per sample distance), channels interleaved. */
export interface Refined {
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly curvature: Float64Array;
}

/**
 * A function without fine detail between its samples (the sampling theorem): a sum of samples weighted
 * by sinc(x) times a window that ends it after TAPS samples. Its derivatives are sums with the
 * derivatives of these weights.
 *
 * With three samples where two halves would just do, the window exp(β(√(1 − x²/TAPS²) − 1)),
 * β = π TAPS · 2/3, leaves an error near exp(−β) = 1e-11 of the largest value.
 *
 * @param samples channels interleaved, TAPS samples before the first value wanted and TAPS after the last
 * @param factor how many values for each sample
 * @param wanted 3 for value, slope and curvature, 2 for the first two; the last is left 0 then
 * @returns values from sample TAPS on, `factor` to a sample, the last sample's included
 */
export function refine(samples: Float64Array, factor: number, wanted: 2 | 3): Refined {
  const intervals = samples.length / CHANNELS - 2 * TAPS - 1;
  const [value, slope, curvature] = [0, 1, 2].map((derivative) => {
    const out = new Float64Array((intervals * factor + 1) * CHANNELS);
    for (let part = 0; part < factor && derivative < wanted; part++) {
      const weights = tapWeights(part / factor, derivative);
      const count = part === 0 ? intervals + 1 : intervals;
      for (let i = 0; i < count; i++) {
        weigh(samples, weights, (i + 1) * CHANNELS, out, (i * factor + part) * CHANNELS);
      }
    }
    return out;
  });
  return { value, slope, curvature };
}

function weigh(
  samples: Float64Array,
  weights: Float64Array,
  from: number,
  out: Float64Array,
  to: number,
): void {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let tap = 0, at = from; tap < weights.length; tap++, at += CHANNELS) {
    const weight = weights[tap];
    x += weight * samples[at];
    y += weight * samples[at + 1];
    z += weight * samples[at + 2];
  }
  out[to] = x;
  out[to + 1] = y;
  out[to + 2] = z;
}

/** Weights of the samples at 1 − TAPS … TAPS, for the value or a derivative a share of one step after sample 0. */
function tapWeights(share: number, derivative: number): Float64Array {
  return Float64Array.from({ length: 2 * TAPS }, (_, tap) => {
    const x = share - (tap + 1 - TAPS);
    if (Math.abs(x) >= TAPS) return 0;
    const [s, s1, s2] = sincAnd(x);
    const [w, w1, w2] = windowAnd(x);
    return [w * s, w1 * s + w * s1, w2 * s + 2 * w1 * s1 + w * s2][derivative];
  });
}

/** sin(πx)/(πx) and its two derivatives. */
function sincAnd(x: number): [number, number, number] {
  if (x === 0) return [1, 0, -(Math.PI ** 2) / 3];
  const s = Math.sin(Math.PI * x) / (Math.PI * x);
  const s1 = (Math.cos(Math.PI * x) - s) / x;
  return [s, s1, -(Math.PI ** 2) * s - (2 * s1) / x];
}

/** The window and its two derivatives. */
function windowAnd(x: number): [number, number, number] {
  const root = Math.sqrt(1 - (x / TAPS) ** 2);
  const w = Math.exp(STEEPNESS * (root - 1));
  const rate = (-STEEPNESS * x) / (root * TAPS ** 2);
  return [w, w * rate, w * (rate ** 2 - STEEPNESS / (root ** 3 * TAPS ** 2))];
}
