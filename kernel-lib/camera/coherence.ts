import { CHANNELS, type ChannelSum, type Nodes, quintic, type Spline } from './spline';

/** Distance of the samples that are summed over the spectrum, m: six to the shortest wavelength, 360 nm. */
const SAMPLE = 60e-9;

/**
 * The light's coherence function, twice integrated, at nodes y = 0, step, 2 step …
 *
 *   K(y) = ∫ w(λ) cos(2πy/λ) dλ
 *   M(y) = ∫₀ʸ (y − u) K(u) du = ∫ w(λ) (λ/2π)² [1 − cos(2πy/λ)] dλ
 *
 * so value, slope and curvature are M, M′ and K. The odd one, which complex transmissions need,
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
export function coherenceNodes(
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
 * ∫ w (λ/2π)² cos(2πy/λ) dλ, or with the sine for the odd one, at y = −TAPS … count + TAPS samples.
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

/**
 * ∫₀ʸ M(u)/u² du, the pattern summed over directions, from the spline and the nodes of M.
 *
 * @returns nodes with slope M/y² and curvature (M/y²)′
 */
export function firstIntegral(coherence: Nodes, spline: Spline): Nodes {
  const { step } = coherence;
  const { coefficients } = spline;
  const size = coherence.value.length;
  const value = new Float64Array(size);
  const slope = new Float64Array(size);
  const curvature = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    const node = Math.floor(i / CHANNELS);
    const y = node * step;
    // At 0 M is y²K(0)/2 or, of the odd one, y³K′(0)/6, read off the first piece.
    slope[i] = node === 0 ? coherence.curvature[i] / 2 : coherence.value[i] / y ** 2;
    curvature[i] =
      node === 0
        ? coefficients[6 * i + 3] / step ** 3
        : (coherence.slope[i] - (2 * coherence.value[i]) / y) / y ** 2;
    if (node === 0) continue;
    let area = 0;
    for (const [t, share] of points) {
      const u = (node - 1 + t) * step;
      area += (share * quintic(coefficients, 6 * (i - CHANNELS), t)) / u ** 2;
    }
    value[i] = value[i - CHANNELS] + area * step;
  }
  return { step, value, slope, curvature };
}

/** ∫₀ʸ of a function given by its nodes and its spline. */
export function secondIntegral(first: Nodes, { step, coefficients }: Spline): Nodes {
  const value = new Float64Array(first.value.length);
  for (let i = CHANNELS; i < value.length; i++) {
    const at = 6 * (i - CHANNELS);
    let area = 0;
    for (let power = 5; power >= 0; power--) area += coefficients[at + power] / (power + 1);
    value[i] = value[i - CHANNELS] + area * step;
  }
  return { step, value, slope: first.value, curvature: first.slope };
}

/** Gauss–Legendre of five points on 0…1. @see Abramowitz and Stegun, table 25.4 */
const HALF = [0, 0.538469310105683, 0.906179845938664];

const SHARE = [0.568888888888889 / 2, 0.478628670499366 / 2, 0.236926885056189 / 2];

const points = [
  [0.5, SHARE[0]],
  ...[1, 2].flatMap((i) => [
    [0.5 - HALF[i] / 2, SHARE[i]],
    [0.5 + HALF[i] / 2, SHARE[i]],
  ]),
];

/** Samples on each side that an interpolated value is made of. */
const TAPS = 12;

/** Decay of the window, for samples that lie three times as close as they must. */
const STEEPNESS = ((Math.PI * 2) / 3) * TAPS;

/** Values and, if asked for, derivatives (per sample distance), channels interleaved. */
interface Refined {
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
function refine(samples: Float64Array, factor: number, wanted: 2 | 3): Refined {
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
