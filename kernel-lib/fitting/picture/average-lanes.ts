import { backSubstitute, triangulate } from '../householder';
import type { Band, Straight } from './straighten';

/** Mean signal along the band and what its scatter says. */
interface Averaged {
  readonly y: Float64Array;
  readonly u: Float64Array;
  readonly saturated: Uint8Array;
}

/**
 * Average a straightened band across, and estimate the standard uncertainty of every mean from the scatter.
 *
 * Each lane is first brought onto the mean by a factor and an offset of its own (vignetting, stray light, a slit that is
 * not lit evenly); what then scatters is noise. Its variance is smoothed over the signal, s² = α + β y + γ y² (dark noise,
 * photons, unsteadiness), since few lanes alone would tell it only roughly; u = s / √lanes.
 */
export function averageLanes(band: Band, straight: Straight): Averaged {
  const { bins, length: positions } = straight;
  const { y: rough, counts, saturated } = meanOf(band, straight, () => 0);
  const near = (p: number) => rough[Math.min(Math.max(p, 0), positions - 1)];
  const slope = rough.map((_, p) => (near(p + 1) - near(p - 1)) / 2);
  const bend = rough.map((_, p) => near(p + 1) - 2 * near(p) + near(p - 1));
  // A bin that lies a part of a pixel beyond its position is brought there along the pattern's slope and bend.
  const shift = (v: number, p: number) => {
    const d = straight.beyond[v][p];
    return d * (slope[p] + (d * bend[p]) / 2);
  };
  const { y } = meanOf(band, straight, shift);

  const squares = new Float64Array(positions);
  for (const [v, lane] of bins.entries()) {
    const there = y.map((signal, p) => signal + shift(v, p));
    const { gain, offset } = onto(there, saturated, band, v, lane);
    for (let p = 0; p < positions; p++) {
      if (lane[p] < 0) continue;
      const expected = gain * there[p] + offset;
      squares[p] += (band.values[v * band.length + lane[p]] - expected) ** 2;
    }
  }
  const variance = squares.map((sum, p) => (counts[p] > 1 ? sum / (counts[p] - 1) : 0));
  const smooth = smoothVariance(y, variance, saturated);
  const u = y.map((signal, p) => Math.sqrt(smooth(signal) / counts[p]));
  return { y, u, saturated };
}

/** Mean over the lanes, each value less its `shift`. */
function meanOf(
  { values, saturated: full, length }: Band,
  { bins, length: positions }: Straight,
  shift: (lane: number, position: number) => number,
) {
  const y = new Float64Array(positions);
  const counts = new Float64Array(positions);
  const saturated = new Uint8Array(positions);
  for (const [v, lane] of bins.entries()) {
    for (let p = 0; p < positions; p++) {
      if (lane[p] < 0) continue;
      const at = v * length + lane[p];
      y[p] += values[at] - shift(v, p);
      counts[p]++;
      if (full[at]) saturated[p] = 1;
    }
  }
  for (let p = 0; p < positions; p++) y[p] /= counts[p] || 1;
  return { y, counts, saturated };
}

/** Straight line of a lane against the mean where its bins lie, saturated positions left out. */
function onto(y: Float64Array, saturated: Uint8Array, band: Band, v: number, lane: Int32Array) {
  let [n, sx, sy, sxx, sxy] = [0, 0, 0, 0, 0];
  for (let p = 0; p < y.length; p++) {
    if (lane[p] < 0 || saturated[p]) continue;
    const value = band.values[v * band.length + lane[p]];
    n++;
    sx += y[p];
    sy += value;
    sxx += y[p] * y[p];
    sxy += y[p] * value;
  }
  const spread = n * sxx - sx * sx;
  if (!(spread > 0)) return { gain: 1, offset: (sy - sx) / (n || 1) };
  const gain = (n * sxy - sx * sy) / spread;
  return { gain, offset: (sy - gain * sx) / n };
}

const sets = [[0], [1], [2], [0, 1], [0, 2], [1, 2], [0, 1, 2]];

/**
 * Noise against signal: variance = α + β y + γ y² with no share negative, by least squares in which every variance is
 * weighted by the inverse square of what it should be.
 *
 * @param signal y of each position
 * @param variance its estimate there
 * @param leaveOut 1 where the estimate says nothing
 * @returns the variance that belongs to a signal, > 0
 */
function smoothVariance(
  signal: Float64Array,
  variance: Float64Array,
  leaveOut: Uint8Array,
): (signal: number) => number {
  const use = Array.from(signal.keys()).filter((p) => !leaveOut[p]);
  const mean = use.reduce((sum, p) => sum + variance[p], 0) / (use.length || 1) || 1e-18;
  if (use.length < 10) return () => mean;
  const low = use.reduce((least, p) => Math.min(least, signal[p]), Infinity);
  const range = use.reduce((most, p) => Math.max(most, signal[p]), -Infinity) - low || 1;
  const part = (y: number) => Math.min(Math.max((y - low) / range, 0), 1);
  let curve = (_: number) => mean;
  for (let round = 0; round < 4; round++) {
    const weigh = (of: (p: number) => number) =>
      Float64Array.from(use, (p) => of(p) / curve(signal[p]));
    const terms = [0, 1, 2].map((power) => weigh((p) => part(signal[p]) ** power));
    const shares = bestShares(
      terms,
      weigh((p) => variance[p]),
    );
    curve = (y) => {
      const at = part(y);
      return Math.max(shares[0] + shares[1] * at + shares[2] * at * at, mean * 1e-4);
    };
  }
  return curve;
}

/** Of all sets of terms whose shares are not negative, the one that leaves least. */
function bestShares(terms: readonly Float64Array[], right: Float64Array): number[] {
  let best = { left: Infinity, shares: [0, 0, 0] };
  for (const set of sets) {
    const columns = set.map((j) => terms[j].slice());
    const rest = right.slice();
    const found = backSubstitute(triangulate(columns, rest));
    if (!found.every((share) => share >= 0)) continue;
    let left = 0;
    for (let i = set.length; i < rest.length; i++) left += rest[i] * rest[i];
    const shares = [0, 0, 0];
    for (const [k, j] of set.entries()) shares[j] = found[k];
    if (left < best.left) best = { left, shares };
  }
  return best.shares;
}
