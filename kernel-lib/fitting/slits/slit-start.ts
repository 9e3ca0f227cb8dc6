import type { Profile } from '../profile';
import { type SlitGeometry, SlitModel } from './slit-model';

/** A guess of all parameters in the order of `slitParameters`, with its χ². */
interface SlitGuess {
  readonly parameters: number[];
  readonly chiSquare: number;
}

/** What does not depend on the count of slits: done once for a profile. */
export interface Hints {
  readonly centres: readonly number[];
  readonly spacings: readonly number[];
  /** From the smallest to the largest spacing that the record cannot tell from the slits' own width, m. */
  readonly unresolved: readonly [number, number];
  /** Smallest and largest width that the profile can show, m. */
  readonly widths: readonly [number, number];
  /** The width itself, when it is known. */
  readonly width?: number;
}

/** Ratio of fringes to full ones while guessing: usual, and of a wide blur. */
const typicalVisibility = 0.9;
const lowVisibility = 0.6;

export function findHints(profile: Profile, geometry: SlitGeometry): Hints {
  const { x } = profile;
  const last = x.length - 1;
  const scale = geometry.focalLength ?? 1;
  const span = (x[last] - x[0]) / scale;
  const step = span / last;
  return {
    centres: patternCentres(profile),
    spacings: spacingCandidates(profile, geometry),
    unresolved: [(1.2 * geometry.wavelength) / span, (4 * geometry.wavelength) / span],
    widths: [(0.25 * geometry.wavelength) / span, (0.5 * geometry.wavelength) / step],
  };
}

/**
 * A record that shows little more than the middle of one slit's pattern does not tell a spacing of less than about twice
 * the width from that width: the spectrum has no peak there, since lags closer than 2 λ over the range of s run together
 * behind a Hann window. A row of spacings stands in for it, the finer the more slits there are.
 */
function row([low, high]: Hints['unresolved'], count: number): number[] {
  const steps = Math.ceil(Math.log(high / low) / Math.log(1 + 0.28 / (count + 1)));
  return Array.from({ length: steps + 1 }, (_, k) => low * (high / low) ** (k / steps));
}

/**
 * The best few guesses, no two of them with nearly the same spacing (of one slit: width): first with usual contrast, then about
 * the middle that was best with low contrast and with spacings that the spectrum cannot show.
 */
export function bestGuesses(
  profile: Profile,
  weights: Float64Array,
  count: number,
  geometry: SlitGeometry,
  hints: Hints,
  keep: number,
): SlitGuess[] {
  const all = (more: Hints, visibility: number) =>
    guessSlits(profile, weights, count, geometry, more, Infinity, visibility);
  const usual = all(hints, typicalVisibility);
  if (count === 1 || usual.length === 0 || hints.spacings.length === 1) return apart(usual, keep);
  const middle = { ...hints, centres: [usual[0].parameters[3]] };
  const unresolved = row(hints.unresolved, count);
  const close = { ...middle, spacings: unresolved };
  const both = { ...middle, spacings: [...hints.spacings, ...unresolved] };
  const guesses = [...usual, ...all(close, typicalVisibility), ...all(both, lowVisibility)];
  return apart(guesses.sort(byChiSquare), keep);
}

const byChiSquare = (a: SlitGuess, b: SlitGuess) => a.chiSquare - b.chiSquare;

/** Guesses whose spacings (of one slit: widths) differ by less than this share end at the same place. */
const nearlyEqual = 0.06;

function apart(guesses: readonly SlitGuess[], most: number): SlitGuess[] {
  const lengthOf = ({ parameters: [width, , , , spacing = width] }: SlitGuess) => spacing;
  const taken: SlitGuess[] = [];
  for (const guess of guesses) {
    if (taken.length === most) break;
    const isNew = (one: SlitGuess) =>
      Math.abs(Math.log(lengthOf(one) / lengthOf(guess))) > nearlyEqual;
    if (taken.every(isNew)) taken.push(guess);
  }
  return taken;
}

/**
 * The best few guesses for a count of slits: every combination of a candidate spacing, a candidate centre and a width
 * is tried, amplitude and background always at their best (a linear problem).
 */
export function guessSlits(
  profile: Profile,
  weights: Float64Array,
  count: number,
  geometry: SlitGeometry,
  hints: Hints,
  keep: number,
  visibility = typicalVisibility,
): SlitGuess[] {
  const model = new SlitModel(profile.x, count, geometry);
  const shape = new Float64Array(profile.x.length);
  const guesses: SlitGuess[] = [];
  for (const spacing of count === 1 ? [0] : hints.spacings) {
    for (const width of widthsFor(spacing, hints)) {
      for (const centre of hints.centres) {
        const parameters = [width, 1, 0, centre, spacing, visibility];
        model.evaluate(parameters, weights, shape);
        const fit = scaleAndFloor(profile.y, weights, shape);
        if (fit.amplitude <= 0) continue;
        parameters[1] = fit.amplitude;
        parameters[2] = fit.background;
        guesses.push({
          parameters: parameters.slice(0, count === 1 ? 4 : 6),
          chiSquare: fit.chiSquare,
        });
      }
    }
  }
  return guesses.sort(byChiSquare).slice(0, keep);
}

function widthsFor(spacing: number, { widths: [low, high], width }: Hints): number[] {
  if (width !== undefined) return [width];
  if (spacing > 0)
    return [0.08, 0.15, 0.22, 0.3, 0.38, 0.46, 0.55, 0.65, 0.76, 0.9].map((k) => k * spacing);
  const steps = Math.max(2, Math.ceil(Math.log(high / low) / Math.log(1.18)));
  return Array.from({ length: steps + 1 }, (_, k) => low * (high / low) ** (k / steps));
}

/** Amplitude and background of weighted least squares; `shape` already carries the weights. */
function scaleAndFloor(y: Float64Array, weights: Float64Array, shape: Float64Array) {
  let ww = 0;
  let ws = 0;
  let ss = 0;
  let wy = 0;
  let sy = 0;
  let yy = 0;
  for (let i = 0; i < y.length; i++) {
    const w = weights[i];
    const v = w * y[i];
    ww += w * w;
    ws += w * shape[i];
    ss += shape[i] * shape[i];
    wy += w * v;
    sy += shape[i] * v;
    yy += v * v;
  }
  const determinant = ss * ww - ws * ws;
  if (!(determinant > 1e-9 * ss * ww)) return { amplitude: 0, background: 0, chiSquare: Infinity };
  const amplitude = (sy * ww - wy * ws) / determinant;
  const background = (ss * wy - ws * sy) / determinant;
  return { amplitude, background, chiSquare: yy - amplitude * sy - background * wy };
}

/**
 * Spacings that a profile may come from: the peaks of its spectrum.
 *
 * The Fourier transform of a far-field pattern over s/λ is the autocorrelation of the aperture, which has its peaks at
 * the distances between slits: at d, 2d … (N − 1) d. The strongest beside the middle is d; its neighbours and
 * fractions are given too, in case noise or a narrow window misleads.
 *
 * @returns candidates, m, the most likely first, at most 8
 */
export function spacingCandidates(profile: Profile, geometry: SlitGeometry): number[] {
  const { x, y } = profile;
  const count = x.length;
  const middle = (x[0] + x[count - 1]) / 2;
  const half = (x[count - 1] - x[0]) / 2;
  const { wavelength, focalLength: f } = geometry;
  const sine = (v: number) => (f === undefined ? v : v / Math.sqrt(v * v + f * f));
  const q = x.map((v) => sine(v) / wavelength);
  const range = q[count - 1] - q[0];
  // A Hann window; with its mean removed, the signal has no peak at lag 0 that could leak.
  const window = Float64Array.from(x, (v) => Math.cos((Math.PI / 2) * ((v - middle) / half)) ** 2);
  let total = 0;
  let mean = 0;
  for (let i = 0; i < count; i++) {
    total += window[i];
    mean += window[i] * y[i];
  }
  mean /= total;

  // Four lags per resolution element 1/range, up to half the sampling frequency.
  const step = 1 / (4 * range);
  const lags = Math.min(4096, 2 * count);
  const power = new Float64Array(lags);
  const re = Float64Array.from(y, (v, i) => window[i] * (v - mean));
  const im = new Float64Array(count);
  const turnRe = q.map((v) => Math.cos(2 * Math.PI * v * step));
  const turnIm = q.map((v) => Math.sin(2 * Math.PI * v * step));
  for (let k = 0; k < lags; k++) {
    let sumRe = 0;
    let sumIm = 0;
    for (let i = 0; i < count; i++) {
      const a = re[i];
      const b = im[i];
      sumRe += a;
      sumIm += b;
      re[i] = a * turnRe[i] - b * turnIm[i];
      im[i] = a * turnIm[i] + b * turnRe[i];
    }
    power[k] = Math.sqrt(sumRe * sumRe + sumIm * sumIm);
  }
  return peaks(power, step);
}

function peaks(power: Float64Array, step: number): number[] {
  const found: { lag: number; height: number }[] = [];
  for (let k = 2; k < power.length - 1; k++) {
    if (!(power[k] > power[k - 1] && power[k] >= power[k + 1])) continue;
    const bend = power[k - 1] - power[k] + (power[k + 1] - power[k]);
    const shift = (0.5 * (power[k - 1] - power[k + 1])) / bend;
    found.push({ lag: (k + shift) * step, height: power[k] });
  }
  found.sort((a, b) => b.height - a.height);
  const lags = found.slice(0, 6).map((peak) => peak.lag);
  const strongest = lags.slice(0, 1).flatMap((lag) => [lag / 2, lag / 3]);
  return [...new Set([...lags, ...strongest])];
}

const grid = 512;

/**
 * Where the middle of a symmetric pattern may lie: the peaks of its autoconvolution.
 *
 *   C(t) = ∫ y(x) y(2t − x) dx
 *
 * Fringes make side peaks half a fringe apart, so the best few are given.
 *
 * @returns candidates, m, the most likely first, at most 6
 */
export function patternCentres({ x, y }: Profile): number[] {
  const low = x[0];
  const step = (x[x.length - 1] - low) / (grid - 1);
  const even = resample(x, y, low, step);
  const sorted = [...even].sort((a, b) => a - b);
  const floor = sorted[Math.floor(grid / 10)];
  for (let i = 0; i < grid; i++) even[i] -= floor;

  const folded = new Float64Array(2 * grid - 1);
  for (let i = 0; i < grid; i++) for (let j = 0; j < grid; j++) folded[i + j] += even[i] * even[j];

  const found: { at: number; height: number }[] = [];
  for (let k = 1; k < folded.length - 1; k++) {
    if (!(folded[k] > folded[k - 1] && folded[k] >= folded[k + 1])) continue;
    const bend = folded[k - 1] - folded[k] + (folded[k + 1] - folded[k]);
    const shift = (0.5 * (folded[k - 1] - folded[k + 1])) / bend;
    found.push({ at: low + ((k + shift) * step) / 2, height: folded[k] });
  }
  found.sort((a, b) => b.height - a.height);
  const best = found.slice(0, 6).map((peak) => peak.at);
  return best.length > 0 ? best : [low + (step * grid) / 2];
}

/** Mean of the points of each bin, or the straight line between neighbours where a bin has none. */
function resample(x: Float64Array, y: Float64Array, low: number, step: number): Float64Array {
  const sums = new Float64Array(grid);
  const counts = new Float64Array(grid);
  for (let i = 0; i < x.length; i++) {
    const bin = Math.min(grid - 1, Math.round((x[i] - low) / step));
    sums[bin] += y[i];
    counts[bin]++;
  }
  let right = 0;
  return sums.map((sum, k) => {
    if (counts[k] > 0) return sum / counts[k];
    const at = low + k * step;
    while (right < x.length - 1 && x[right] < at) right++;
    const left = Math.max(0, right - 1);
    const part = (at - x[left]) / (x[right] - x[left] || 1);
    return y[left] + part * (y[right] - y[left]);
  });
}
