import { backSubstitute, triangulate } from '../householder';
import { type Band, type Straight, straighten } from './straighten';

/** Lanes for the search; more would only cost time. */
const fewLanes = 24;

/**
 * The tilt of the fringes in a band: first the one that makes the averaged pattern strongest, then better by the shift
 * of each lane against the mean, a straight line over the band.
 *
 * @param largest search range ±, rad, default 10°
 * @returns φ, rad
 */
export function findTilt(band: Band, largest = Math.PI / 18): number {
  const extent = Math.max(...band.offsets) - Math.min(...band.offsets);
  if (band.offsets.length < 4) return 0;
  const few = mergeLanes(band);
  let best = 0;
  let top = -Infinity;
  const step = Math.max(1 / extent, largest / 40);
  for (let tilt = -largest; tilt <= largest + step / 2; tilt += step) {
    const contrast = contrastOf(few, straighten(few, tilt));
    if (contrast > top) [best, top] = [tilt, contrast];
  }
  for (let round = 0; round < 6; round++) {
    const change = leanOf(few, straighten(few, best));
    if (!Number.isFinite(change) || Math.abs(best + change) > 1.5 * largest) break;
    best += change;
    if (Math.abs(change) < 1e-6) break;
  }
  return best;
}

/** Neighbouring lanes put together, so that at most `fewLanes` are left. */
function mergeLanes(band: Band): Band {
  const { length, values, saturated, offsets } = band;
  const group = Math.ceil(offsets.length / fewLanes);
  if (group === 1) return band;
  const count = Math.floor(offsets.length / group);
  const merged = new Float32Array(count * length);
  const full = new Uint8Array(count * length);
  for (let k = 0; k < count * group; k++) {
    const into = Math.floor(k / group) * length;
    for (let t = 0; t < length; t++) {
      merged[into + t] += values[k * length + t] / group;
      full[into + t] |= saturated[k * length + t];
    }
  }
  const middle = (k: number) => (offsets[k * group] + offsets[k * group + group - 1]) / 2;
  return {
    length,
    values: merged,
    saturated: full,
    offsets: Array.from({ length: count }, (_, k) => middle(k)),
  };
}

function meanOf({ values, length }: Band, { cells, length: positions }: Straight): Float64Array {
  return Float64Array.from({ length: positions }, (_, p) => {
    let sum = 0;
    let count = 0;
    for (let v = 0; v < cells.length; v++) {
      const i = cells[v][p];
      if (i < 0) continue;
      sum += values[v * length + i];
      count++;
    }
    return sum / (count || 1);
  });
}

/** Variance of the averaged pattern along its middle nine tenths. */
function contrastOf(band: Band, straight: Straight): number {
  const all = meanOf(band, straight);
  const edge = Math.floor(all.length / 20);
  const mean = all.subarray(edge, all.length - edge);
  const level = mean.reduce((sum, value) => sum + value, 0) / mean.length;
  return mean.reduce((sum, value) => sum + (value - level) ** 2, 0) / mean.length;
}

/** How much the lanes still lean: the slope of their shifts against their distance from the middle. */
function leanOf(band: Band, straight: Straight): number {
  const mean = meanOf(band, straight);
  const last = mean.length - 1;
  let [n, sv, ss, svv, svs] = [0, 0, 0, 0, 0];
  for (let v = 0; v < band.offsets.length; v++) {
    const shift = shiftOf(band, straight, v, mean);
    if (!shift) continue;
    const { by, weight } = shift;
    n += weight;
    sv += weight * band.offsets[v];
    ss += weight * by;
    svv += weight * band.offsets[v] ** 2;
    svs += weight * band.offsets[v] * by;
  }
  return last > 4 ? (n * svs - sv * ss) / (n * svv - sv * sv) : Number.NaN;
}

/**
 * By how much a lane is shifted against the mean, pixels: lane = offset + gain (mean + shift mean′), by least squares.
 * `weight` is gain², a dark lane says little.
 */
function shiftOf(band: Band, { cells, beyond }: Straight, v: number, mean: Float64Array) {
  const lane = cells[v];
  const use: number[] = [];
  for (let p = 1; p < mean.length - 1; p++) {
    if (lane[p] >= 0 && !band.saturated[v * band.length + lane[p]]) use.push(p);
  }
  if (use.length < 6) return undefined;
  const slope = (p: number) => (mean[p + 1] - mean[p - 1]) / 2;
  const columns = [
    new Float64Array(use.length).fill(1),
    Float64Array.from(use, (p) => mean[p] + beyond[v][p] * slope(p)),
    Float64Array.from(use, slope),
  ];
  const values = Float64Array.from(use, (p) => band.values[v * band.length + lane[p]]);
  const [, gain, moved] = backSubstitute(triangulate(columns, values));
  return gain > 0 ? { by: moved / gain, weight: gain * gain } : undefined;
}
