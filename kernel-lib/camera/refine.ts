import { CHANNELS } from './cells';

/** Samples on each side that an interpolated value is made of. */
export const TAPS = 10;

/**
 * Values between samples of a function without fine detail (the sampling theorem): a sum of samples
 * weighted by sinc(x) times a window that ends it after TAPS samples.
 *
 * With three samples where two would just do, the window exp(β(√(1 − x²/TAPS²) − 1)), β = π TAPS · 2/3,
 * leaves an error near exp(−β) = 1e-9 of the largest value.
 *
 * @param samples channels interleaved, TAPS samples before the first value wanted and TAPS after the last
 * @param factor how many values for each sample
 * @returns values from sample TAPS on, `factor` to a sample, the last sample's included
 */
export function refine(samples: Float64Array, factor: number): Float64Array {
  const intervals = samples.length / CHANNELS - 2 * TAPS - 1;
  const out = new Float64Array((intervals * factor + 1) * CHANNELS);
  for (let part = 0; part < factor; part++) {
    const weights = tapWeights(part / factor);
    for (let i = 0; i < intervals || (i === intervals && part === 0); i++) {
      let [x, y, z, power] = [0, 0, 0, 0];
      for (let tap = 0, at = (i + 1) * CHANNELS; tap < 2 * TAPS; tap++, at += CHANNELS) {
        const weight = weights[tap];
        x += weight * samples[at];
        y += weight * samples[at + 1];
        z += weight * samples[at + 2];
        power += weight * samples[at + 3];
      }
      const to = (i * factor + part) * CHANNELS;
      out[to] = x;
      out[to + 1] = y;
      out[to + 2] = z;
      out[to + 3] = power;
    }
  }
  return out;
}

/** Weights of the samples at 1 − TAPS … TAPS for the value a share of one step after sample 0. */
function tapWeights(share: number): Float64Array {
  const steepness = ((Math.PI * 2) / 3) * TAPS;
  return Float64Array.from({ length: 2 * TAPS }, (_, tap) => {
    const x = share - (tap + 1 - TAPS);
    if (x === 0) return 1;
    const window = Math.exp(steepness * (Math.sqrt(1 - (x / TAPS) ** 2) - 1));
    return (window * Math.sin(Math.PI * x)) / (Math.PI * x);
  });
}
