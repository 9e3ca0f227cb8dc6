import { CHANNELS, type ChannelSum, type Nodes } from './cells';
import { refine, TAPS } from './refine';

/** Distance of the samples that are summed over the spectrum, m: six to the shortest wavelength, 360 nm. */
const SAMPLE = 60e-9;

/**
 * The light's kernel, twice integrated, at nodes y = 0, step, 2 step …
 *
 *   K(y) = ∫ w(λ) cos(2πy/λ) dλ
 *   M(y) = ∫₀ʸ (y − u) K(u) du = ∫ w(λ) (λ/2π)² [1 − cos(2πy/λ)] dλ
 *
 * so value, slope and curvature are M, M′ and K. The odd kernel, which complex transmissions need,
 * has the sine in place of K's cosine: M = ∫ w (λ/2π)² [2πy/λ − sin(2πy/λ)] dλ.
 *
 * The spectrum is summed at every 60 nm of y only; since no wavelength is shorter than 360 nm, the
 * sampling theorem gives the nodes between.
 *
 * @param light the light as a sum
 * @param reach largest y, m
 * @param options parts: nodes to each 60 nm; odd: whether the sine is meant; curved: whether the
 *   curvature is wanted, which is left 0 otherwise
 */
export function kernelNodes(
  light: ChannelSum,
  reach: number,
  { parts, odd = false, curved = true }: { parts: number; odd?: boolean; curved?: boolean },
): Nodes {
  const step = SAMPLE / parts;
  const waves = sampled(light, Math.ceil(reach / SAMPLE) + 1, odd);
  const { value, slope, curvature } = refine(waves, parts, curved ? 3 : 2);
  const { constant, rate, whole } = straightParts(light);
  for (let i = 0; i < value.length; i++) {
    const c = i % CHANNELS;
    const straight = odd ? (rate[c] * (i - c) * step) / CHANNELS : constant[c];
    value[i] = straight - value[i];
    slope[i] = (odd ? rate[c] : 0) - slope[i] / SAMPLE;
    curvature[i] /= -(SAMPLE ** 2);
  }
  // What is known at y = 0 exactly, where strips divide by s².
  value.fill(0, 0, CHANNELS);
  slope.fill(0, 0, CHANNELS);
  curvature.set(odd ? new Float64Array(CHANNELS) : whole);
  return { step, value, slope, curvature };
}

/** By channel: ∫ w (λ/2π)² dλ, which the even M has besides its cosines; ∫ w λ/2π dλ, of the odd one; ∫ w dλ. */
function straightParts({ wavelengths, weights }: ChannelSum) {
  const [constant, rate, whole] = [0, 1, 2].map(() => new Float64Array(CHANNELS));
  weights.forEach((weight, i) => {
    const length = wavelengths[Math.floor(i / CHANNELS)] / (2 * Math.PI);
    constant[i % CHANNELS] += weight * length * length;
    rate[i % CHANNELS] += weight * length;
    whole[i % CHANNELS] += weight;
  });
  return { constant, rate, whole };
}

/** Numbers that one wavelength takes below. */
const PER_WAVE = 7;

/**
 * ∫ w (λ/2π)² cos(2πy/λ) dλ, or with the sine for the odd kernel, at y = −TAPS … count + TAPS samples.
 *
 * Each wavelength's phase is turned on from sample to sample rather than taken anew; what a sample
 * adds up stays in registers.
 */
function sampled({ wavelengths, weights }: ChannelSum, count: number, odd: boolean) {
  const waves = new Float64Array(PER_WAVE * wavelengths.length);
  wavelengths.forEach((wavelength, i) => {
    const turn = (2 * Math.PI * SAMPLE) / wavelength;
    const start = -TAPS * turn - (odd ? Math.PI / 2 : 0);
    waves.set([Math.cos(start), Math.sin(start), Math.cos(turn), Math.sin(turn)], PER_WAVE * i);
    const length = wavelength / (2 * Math.PI);
    for (let c = 0; c < CHANNELS; c++) {
      waves[PER_WAVE * i + 4 + c] = weights[CHANNELS * i + c] * length * length;
    }
  });
  const samples = new Float64Array((count + 1 + 2 * TAPS) * CHANNELS);
  for (let at = 0; at < samples.length; at += CHANNELS) addUpAndTurn(waves, samples, at);
  return samples;
}

/** Add all wavelengths up into one sample, and turn each to the next. */
function addUpAndTurn(waves: Float64Array, samples: Float64Array, at: number): void {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < waves.length; i += PER_WAVE) {
    const cos = waves[i];
    const sin = waves[i + 1];
    const turnCos = waves[i + 2];
    const turnSin = waves[i + 3];
    x += waves[i + 4] * cos;
    y += waves[i + 5] * cos;
    z += waves[i + 6] * cos;
    waves[i] = cos * turnCos - sin * turnSin;
    waves[i + 1] = sin * turnCos + cos * turnSin;
  }
  samples[at] = x;
  samples[at + 1] = y;
  samples[at + 2] = z;
}
