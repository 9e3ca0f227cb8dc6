import { backSubstitute, triangulate } from './householder';
import type { Band, Straight } from './straighten';

/** Mean signal along the band and what its scatter says. */
export interface Averaged {
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
  const { cells, length: positions } = straight;
  const y = new Float64Array(positions);
  const counts = new Float64Array(positions);
  const saturated = new Uint8Array(positions);
  each(band, straight, (p, value, full) => {
    y[p] += value;
    counts[p]++;
    if (full) saturated[p] = 1;
  });
  for (let p = 0; p < positions; p++) y[p] /= counts[p] || 1;

  const squares = new Float64Array(positions);
  for (const [v, lane] of cells.entries()) {
    const { gain, offset } = onto(y, saturated, band, v, lane);
    for (let p = 0; p < positions; p++) {
      if (lane[p] < 0) continue;
      squares[p] += (band.values[v * band.length + lane[p]] - gain * y[p] - offset) ** 2;
    }
  }
  const variance = squares.map((sum, p) => (counts[p] > 1 ? sum / (counts[p] - 1) : 0));
  const smooth = smoothVariance(y, variance, saturated);
  const u = y.map((signal, p) => Math.sqrt(smooth(signal) / counts[p]));
  return { y, u, saturated };
}

function each(
  { values, saturated, length }: Band,
  { cells }: Straight,
  visit: (position: number, value: number, full: boolean) => void,
): void {
  for (const [v, lane] of cells.entries()) {
    for (let p = 0; p < lane.length; p++) {
      const at = v * length + lane[p];
      if (lane[p] >= 0) visit(p, values[at], saturated[at] === 1);
    }
  }
}

/** Straight line of a lane against the mean, saturated positions left out. */
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
  if (!(spread > 0)) return { gain: 1, offset: n > 0 ? (sy - sx) / n : 0 };
  const gain = (n * sxy - sx * sy) / spread;
  return { gain, offset: (sy - gain * sx) / n };
}

/** Least squares of variance = α + β y + γ y², each variance weighted by the inverse square of what it is. */
function smoothVariance(
  y: Float64Array,
  variance: Float64Array,
  saturated: Uint8Array,
): (signal: number) => number {
  const use = Array.from(y.keys()).filter((p) => !saturated[p]);
  const mean = use.reduce((sum, p) => sum + variance[p], 0) / (use.length || 1);
  const floor = mean * 1e-3 || 1e-18;
  const top = use.reduce((most, p) => Math.max(most, y[p]), 0) || 1;
  if (use.length < 10) return () => mean || 1e-18;
  let curve = (_: number) => mean || 1e-18;
  for (let round = 0; round < 3; round++) {
    const weigh = (of: (p: number) => number) => Float64Array.from(use, (p) => of(p) / curve(y[p]));
    const columns = [weigh(() => 1), weigh((p) => y[p] / top), weigh((p) => (y[p] / top) ** 2)];
    const [a, b, c] = backSubstitute(
      triangulate(
        columns,
        weigh((p) => variance[p]),
      ),
    );
    curve = (signal) => {
      const part = Math.min(Math.max(signal / top, 0), 1);
      return Math.max(a + b * part + c * part * part, floor);
    };
  }
  return curve;
}
