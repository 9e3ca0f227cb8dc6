import { backSubstitute, triangulate } from '../householder';

/** One channel of a band: lane after lane, each `length` long. */
export interface Band {
  readonly length: number;
  readonly values: Float32Array;
  readonly saturated: Uint8Array;
  /** Distance of each lane from the band's middle, pixels. */
  readonly offsets: readonly number[];
}

/** Lanes brought into line: for every position, which bins of the band belong to it. */
export interface Straight {
  /** First position, pixels from the band's first. */
  readonly first: number;
  readonly length: number;
  /** bins[lane][position], an index into the lane, or −1 where the lane does not reach. */
  readonly bins: readonly Int32Array[];
  /** How far the middle of that bin lies beyond the position, pixels, −½ … ½. */
  readonly beyond: readonly Float32Array[];
}

/**
 * Bring tilted fringes into line: position t = i cos φ + v sin φ of pixel i in the lane at distance v, to the nearest
 * whole pixel. Nothing is interpolated, so the noise of neighbouring positions stays independent.
 *
 * @param tilt φ, rad
 */
export function straighten({ length, offsets }: Band, tilt: number): Straight {
  // A whole pixel, so that without tilt every position is one.
  const middle = length >> 1;
  const reach = Math.ceil(
    length / 2 + Math.max(...offsets.map(Math.abs)) * Math.abs(Math.sin(tilt)),
  );
  const [sine, cosine] = [Math.sin(tilt), Math.cos(tilt)];
  const beyond: Float32Array[] = [];
  const bins = offsets.map((v) => {
    const lane = new Int32Array(2 * reach + 1).fill(-1);
    const off = new Float32Array(lane.length);
    for (let p = 0; p < lane.length; p++) {
      // The pixel whose position is nearest to p − reach.
      const i = Math.round(middle + (p - reach - v * sine) / cosine);
      if (i < 0 || i >= length) continue;
      lane[p] = i;
      off[p] = (i - middle) * cosine + v * sine - (p - reach);
    }
    beyond.push(off);
    return lane;
  });
  // Only positions that at least half of the lanes reach.
  const reached = (p: number) => bins.filter((lane) => lane[p] >= 0).length * 2 >= bins.length;
  let from = 0;
  while (from < 2 * reach && !reached(from)) from++;
  let to = 2 * reach + 1;
  while (to > from + 1 && !reached(to - 1)) to--;
  return {
    first: from - reach + middle,
    length: to - from,
    bins: bins.map((lane) => lane.subarray(from, to)),
    beyond: beyond.map((off) => off.subarray(from, to)),
  };
}

/** Lanes for the search; more would only cost time. */
const fewLanes = 24;

/**
 * The tilt of the fringes in a band: first the one that makes the averaged pattern strongest, then better by the shift
 * of each lane against the mean, a straight line over the band.
 *
 * @param largest search range ±, rad, default 10°
 * @returns φ, rad
 * @throws RangeError when the search ends at its limit
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
  // A few pixels show no lean at all.
  if (Math.abs(best) > 0.999 * largest && band.length > 16) {
    const degrees = ((largest * 180) / Math.PI).toFixed(0);
    throw new RangeError(
      `The search for the fringes' lean ended at its limit of ${degrees}°, so it found none. Give tilt in radians (0 for none); for a row of spots, band: 'find' or a line, { from: { x, y }, to: { x, y }, width }.`,
    );
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

function meanOf({ values, length }: Band, { bins, length: positions }: Straight): Float64Array {
  return Float64Array.from({ length: positions }, (_, p) => {
    let sum = 0;
    let count = 0;
    for (let v = 0; v < bins.length; v++) {
      const i = bins[v][p];
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
function shiftOf(band: Band, { bins, beyond }: Straight, v: number, mean: Float64Array) {
  const lane = bins[v];
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
