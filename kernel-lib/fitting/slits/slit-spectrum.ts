import type { Profile } from '../profile';
import type { SlitGeometry } from './slit-model';

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
