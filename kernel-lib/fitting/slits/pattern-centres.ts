import type { Profile } from '../profile';

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

/** Mean of the points of each cell, or the straight line between neighbours where a cell has none. */
function resample(x: Float64Array, y: Float64Array, low: number, step: number): Float64Array {
  const sums = new Float64Array(grid);
  const counts = new Float64Array(grid);
  for (let i = 0; i < x.length; i++) {
    const cell = Math.min(grid - 1, Math.round((x[i] - low) / step));
    sums[cell] += y[i];
    counts[cell]++;
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
