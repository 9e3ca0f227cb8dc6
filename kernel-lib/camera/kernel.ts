import type { SpectralWeights } from '../light/spectral-weights';
import { CHANNELS, type Nodes } from './cells';
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
 * @param parts nodes to each 60 nm
 * @param odd whether the sine is meant
 */
export function kernelNodes(
  light: SpectralWeights,
  reach: number,
  parts: number,
  odd = false,
): Nodes {
  const step = SAMPLE / parts;
  const [second, first, none] = sampled(light, Math.ceil(reach / SAMPLE) + 1, odd);
  const value = refine(second, parts);
  const slope = refine(first, parts);
  const curvature = refine(none, parts);
  const [atZero, along] = straightPart(light, odd);
  for (let i = 0; i < value.length; i++) {
    const y = Math.floor(i / CHANNELS) * step;
    value[i] = atZero[i % CHANNELS] + along[i % CHANNELS] * y - value[i];
    slope[i] += along[i % CHANNELS];
  }
  // Exactly 0 at y = 0, where strips divide by s².
  value.fill(0, 0, CHANNELS);
  slope.fill(0, 0, CHANNELS);
  if (odd) curvature.fill(0, 0, CHANNELS);
  return { step, value, slope, curvature };
}

/** What M has besides its cosines or sines: ∫ w (λ/2π)² of the even one, y ∫ w λ/2π of the odd one. */
function straightPart({ wavelengths, weights }: SpectralWeights, odd: boolean) {
  const parts = [new Float64Array(CHANNELS), new Float64Array(CHANNELS)];
  weights.forEach((weight, i) => {
    const length = wavelengths[Math.floor(i / CHANNELS)] / (2 * Math.PI);
    if (odd) parts[1][i % CHANNELS] += weight * length;
    else parts[0][i % CHANNELS] += weight * length * length;
  });
  return parts;
}

/**
 * ∫ w k⁻² cos(ky) dλ, ∫ w k⁻¹ sin(ky) dλ and ∫ w cos(ky) dλ, k = 2π/λ, at y = −TAPS … count + TAPS
 * samples; for the odd kernel with ky − π/2 in place of ky.
 *
 * Each wavelength's phase is turned on from sample to sample rather than taken anew; what a sample
 * adds up stays in registers.
 */
function sampled({ wavelengths, weights }: SpectralWeights, count: number, odd: boolean) {
  const samples = count + 1 + 2 * TAPS;
  const [second, first, none] = [0, 1, 2].map(() => new Float64Array(samples * CHANNELS));
  const waves = turningWaves(wavelengths, weights, odd);
  for (let at = 0; at < samples * CHANNELS; at += CHANNELS) {
    addSample(waves, at, second, first, none);
  }
  return [second, first, none];
}

/** Numbers that one wavelength takes in `turningWaves`. */
const PER_WAVE = 10;

/** Of each wavelength: cosine, sine, those of one step, 1/k, 1/k², and the four weights. */
function turningWaves(wavelengths: Float64Array, weights: Float64Array, odd: boolean) {
  const waves = new Float64Array(PER_WAVE * wavelengths.length);
  wavelengths.forEach((wavelength, i) => {
    const k = (2 * Math.PI) / wavelength;
    const start = -TAPS * k * SAMPLE - (odd ? Math.PI / 2 : 0);
    const turn = k * SAMPLE;
    waves.set(
      [Math.cos(start), Math.sin(start), Math.cos(turn), Math.sin(turn), 1 / k, 1 / (k * k)],
      PER_WAVE * i,
    );
    waves.set(weights.subarray(CHANNELS * i, CHANNELS * (i + 1)), PER_WAVE * i + 6);
  });
  return waves;
}

/** Add all wavelengths up at one sample, and turn each to the next. */
function addSample(
  waves: Float64Array,
  at: number,
  second: Float64Array,
  first: Float64Array,
  none: Float64Array,
): void {
  let [x0, y0, z0, p0] = [0, 0, 0, 0];
  let [x1, y1, z1, p1] = [0, 0, 0, 0];
  let [x2, y2, z2, p2] = [0, 0, 0, 0];
  for (let i = 0; i < waves.length; i += PER_WAVE) {
    const cos = waves[i];
    const sin = waves[i + 1];
    const c2 = cos * waves[i + 5];
    const s1 = sin * waves[i + 4];
    const x = waves[i + 6];
    const y = waves[i + 7];
    const z = waves[i + 8];
    const p = waves[i + 9];
    x0 += x * cos;
    y0 += y * cos;
    z0 += z * cos;
    p0 += p * cos;
    x1 += x * s1;
    y1 += y * s1;
    z1 += z * s1;
    p1 += p * s1;
    x2 += x * c2;
    y2 += y * c2;
    z2 += z * c2;
    p2 += p * c2;
    waves[i] = cos * waves[i + 2] - sin * waves[i + 3];
    waves[i + 1] = sin * waves[i + 2] + cos * waves[i + 3];
  }
  second.set([x2, y2, z2, p2], at);
  first.set([x1, y1, z1, p1], at);
  none.set([x0, y0, z0, p0], at);
}
