import { median } from '../../numerics/median';
import type { PictureBand } from './find-band';
import { upright } from './lanes';
import type { PictureRows } from './picture-rows';
import { onPlane, type PicturePoint } from './picture-scale';

/** How a picture is read along a band. */
export interface BandReading {
  readonly band: PictureBand;
  /** Linear signal of each code value, 0 … full. */
  readonly linear: Float32Array;
  /** Code from which a pixel is full. */
  readonly limit: number;
  /** Pixels to metres on the plane, as in `PictureScale`. */
  readonly matrix: readonly number[];
  /** Parts of the picture that are left out: dust, a finger, a reflection. Upright pixels. */
  readonly masks: readonly PictureMask[];
  /** Share of the signal that the lens loses at the corners, growing with the square of the radius. */
  readonly vignetting: number;
}

/** A part of the upright picture that is left out, pixels: round, or an upright rectangle between two of its corners. */
export type PictureMask =
  | { readonly x: number; readonly y: number; readonly radius: number }
  | { readonly from: PicturePoint; readonly to: PicturePoint };

/** @throws RangeError unless it is one of the two */
export function checkMask(mask: PictureMask): void {
  const numbers =
    'radius' in mask
      ? [mask.x, mask.y, mask.radius]
      : [mask.from?.x, mask.from?.y, mask.to?.x, mask.to?.y];
  if (numbers.every(Number.isFinite)) return;
  throw new RangeError(
    'A mask is a round part of the picture, { x, y, radius }, or a rectangle, { from: { x, y }, to: { x, y } }, in pixels.',
  );
}

/** Whether a pixel lies in a mask. */
function insideOf(mask: PictureMask): (x: number, y: number) => boolean {
  if ('radius' in mask) return (x, y) => Math.hypot(x - mask.x, y - mask.y) <= mask.radius;
  const [left, right] = [mask.from.x, mask.to.x].sort((a, b) => a - b);
  const [top, bottom] = [mask.from.y, mask.to.y].sort((a, b) => a - b);
  return (x, y) => x >= left && x <= right && y >= top && y <= bottom;
}

/** Pixels of the band and of the ground on both sides of it, sorted into lanes along it. */
export interface BandLanes {
  readonly length: number;
  /** Distance of each lane from the line, pixels. */
  readonly offsets: readonly number[];
  /** Place of each position along the line, m from its first end. */
  readonly x: Float64Array;
  /** Mean signal of each bin, lane after lane, by channel; NaN where no pixel fell into it. */
  readonly channels: readonly Float32Array[];
  readonly saturated: readonly Uint8Array[];
}

/** The ground is taken from strips beside the band: this far from its edge, and this wide, in widths of the band. */
const gap = 0.35;
const strip = 0.6;

/** More lanes than this say nothing more. */
const mostLanes = 240;

/**
 * Decode a picture once and sort the pixels of a band into bins: by their distance from the line, and by their place
 * along it. Nothing is interpolated; a position is the mean of the places of its own pixels.
 */
export function gatherBand(picture: PictureRows, reading: BandReading): BandLanes {
  const { band, linear, limit, masks, vignetting } = reading;
  const { channels } = picture;
  const along = Math.hypot(band.to.x - band.from.x, band.to.y - band.from.y);
  const [cosine, sine] = [(band.to.x - band.from.x) / along, (band.to.y - band.from.y) / along];
  const half = band.width / 2;
  const reach = half + gap * band.width + 2 + Math.max(strip * band.width, 4);
  const wide = Math.max(1, (2 * reach) / mostLanes);
  const count = Math.ceil((2 * reach) / wide);
  const length = Math.floor(along) + 1;
  const size = count * length;
  const sums = Array.from({ length: channels }, () => new Float32Array(size));
  const saturated = Array.from({ length: channels }, () => new Uint8Array(size));
  const hits = new Uint16Array(size);
  const places = new Float64Array(length);
  const met = new Uint32Array(length);
  const turn = upright(picture.orientation, picture.width, picture.height);
  const box = boxAround(band, reach);
  const [midX, midY] = [(turn.width - 1) / 2, (turn.height - 1) / 2];
  const perCorner = vignetting / (midX ** 2 + midY ** 2 || 1);
  const masked = masks.map(insideOf);

  picture.each((row, y) => {
    for (let x = 0; x < picture.width; x++) {
      const X = turn.across[0] * x + turn.across[1] * y + turn.across[2];
      const Y = turn.down[0] * x + turn.down[1] * y + turn.down[2];
      if (X < box.left || X > box.right || Y < box.top || Y > box.bottom) continue;
      const [dx, dy] = [X - band.from.x, Y - band.from.y];
      const t = dx * cosine + dy * sine;
      const w = dy * cosine - dx * sine;
      const p = Math.round(t);
      const lane = Math.floor((w + reach) / wide);
      if (p < 0 || p >= length || lane < 0 || lane >= count) continue;
      if (masked.some((isInside) => isInside(X, Y))) continue;
      const bin = lane * length + p;
      hits[bin]++;
      if (Math.abs(w) <= half) {
        places[p] += t;
        met[p]++;
      }
      const lens = 1 - perCorner * ((X - midX) ** 2 + (Y - midY) ** 2);
      for (let c = 0; c < channels; c++) {
        const code = row[x * channels + c];
        sums[c][bin] += linear[code] / lens;
        if (code >= limit) saturated[c][bin] = 1;
      }
    }
  });
  for (const sum of sums) {
    for (let i = 0; i < size; i++) sum[i] = hits[i] > 0 ? sum[i] / hits[i] : Number.NaN;
  }
  const start = onPlane(reading.matrix, band.from);
  const x = Float64Array.from(places, (sum, p) => {
    const t = met[p] > 0 ? sum / met[p] : p;
    const at = onPlane(reading.matrix, {
      x: band.from.x + t * cosine,
      y: band.from.y + t * sine,
    });
    return Math.hypot(at.x - start.x, at.y - start.y);
  });
  const offsets = Array.from({ length: count }, (_, k) => (k + 0.5) * wide - reach);
  return { length, offsets, x, channels: sums, saturated };
}

function boxAround({ from, to }: PictureBand, reach: number) {
  return {
    left: Math.min(from.x, to.x) - reach,
    right: Math.max(from.x, to.x) + reach,
    top: Math.min(from.y, to.y) - reach,
    bottom: Math.max(from.y, to.y) + reach,
  };
}

/** The pattern along a band. */
export interface BandSignal {
  /** Signal on a level ground, that of the band's surroundings in the mean; NaN where no pixel counts. */
  readonly y: Float64Array;
  readonly u: Float64Array;
  readonly saturated: Uint8Array;
  /** Mean of the ground beside the band. */
  readonly ground: number;
}

/** A position counts as full when so much of its light, by the shape across, fell on full pixels. */
const mostClipped = 0.03;

/** A bin farther from what its lane should have, in robust standard deviations, is dust or a line of the paper. */
const outlying = 4.5;

/** No point of a photograph is better known than this share of the brightest: speckle, paper and the camera's curve. */
const leastShare = 0.004;

/**
 * One channel of a band as a signal: at each position the ground, told by both sides of the band, is taken away, and the
 * lanes are put together with the weights of the spots' own shape across, v(w), so that dark lanes bring no noise:
 *
 *   y = Σ v (V − ground) / Σ v²,  v = Σ y V / Σ y², in turn
 *
 * Bins that stand out of their lane (dust, a line of the paper) are left out; positions where pixels were full are marked.
 * Uncertainty from the scatter of the lanes, smoothed over the signal: variance = α + β y + γ y².
 *
 * @see Horne, Publ. Astron. Soc. Pac. 98, 609 (1986) (from memory), for weights by the shape across
 */
export function bandSignal(lanes: BandLanes, channel: number, width: number): BandSignal {
  const { length, offsets } = lanes;
  const values = lanes.channels[channel];
  const full = lanes.saturated[channel];
  const inner = offsets.flatMap((w, k) => (Math.abs(w) <= width / 2 ? [k] : []));
  const beside = offsets.map((w) => (Math.abs(w) > (0.5 + gap) * width + 2 ? Math.sign(w) : 0));
  const ground = groundAlong(lanes, values, beside);
  const mean = ground.reduce((sum, value) => sum + value, 0) / length;

  const rest = inner.map((k) => {
    const lane = values.subarray(k * length, (k + 1) * length);
    return Float64Array.from(lane, (value, p) => value - ground[p]);
  });
  const clipped = inner.map((k) => full.subarray(k * length, (k + 1) * length));
  const use = rest.map((lane) => Uint8Array.from(lane, (value) => (Number.isNaN(value) ? 0 : 1)));
  let shape = rest.map(() => 1);
  let y = combine(rest, use, shape);
  const saturated = new Uint8Array(length);
  let noise = (_: number) => 0;
  for (let round = 0; round < 4; round++) {
    shape = shapeAcross(rest, use, clipped, y);
    markClipped(saturated, clipped, shape);
    y = combine(rest, use, shape);
    noise = scatterOf(rest, use, shape, y, saturated);
    if (round === 3) break;
    for (const [j, lane] of rest.entries()) {
      for (let p = 0; p < length; p++) {
        if (Number.isNaN(lane[p])) continue;
        const off = Math.abs(lane[p] - shape[j] * y[p]);
        use[j][p] = off > outlying * noise(shape[j] * y[p]) && !clipped[j][p] ? 0 : 1;
      }
    }
  }
  const top = y.reduce((most, value, p) => (saturated[p] ? most : Math.max(most, value)), 0);
  const u = Float64Array.from(y, (signal, p) => {
    let squares = 0;
    let total = 0;
    for (const [j, v] of shape.entries()) {
      if (!use[j][p]) continue;
      total += v * v;
      squares += (v * noise(v * signal)) ** 2;
    }
    return Math.hypot(Math.sqrt(squares) / (total || 1), leastShare * top);
  });
  for (let p = 0; p < length; p++) y[p] += mean;
  return { y, u, saturated, ground: mean };
}

/** Median of the strips on both sides at each position, running over a few neighbours; one side alone at a picture's edge. */
function groundAlong({ length }: BandLanes, values: Float32Array, beside: readonly number[]) {
  const sideOf = (sign: number) => {
    const mine = beside.flatMap((side, k) => (side === sign ? [k] : []));
    return Float64Array.from({ length }, (_, p) => {
      const near: number[] = [];
      for (let q = Math.max(0, p - 2); q <= Math.min(length - 1, p + 2); q++) {
        for (const k of mine) {
          const value = values[k * length + q];
          if (!Number.isNaN(value)) near.push(value);
        }
      }
      return near.length * 4 < mine.length ? Number.NaN : median(near);
    });
  };
  const [above, below] = [sideOf(-1), sideOf(1)];
  const both = above.map((value, p) => {
    const other = below[p];
    return Number.isNaN(value) ? other : Number.isNaN(other) ? value : (value + other) / 2;
  });
  // Where neither side is in the picture: as at the nearest position where one is.
  let last = both.find((value) => !Number.isNaN(value)) ?? 0;
  return both.map((value) => {
    if (!Number.isNaN(value)) last = value;
    return last;
  });
}

function combine(
  rest: readonly Float64Array[],
  use: readonly Uint8Array[],
  shape: readonly number[],
): Float64Array {
  const y = new Float64Array(rest[0].length).fill(Number.NaN);
  for (let p = 0; p < y.length; p++) {
    let sum = 0;
    let total = 0;
    for (const [j, v] of shape.entries()) {
      if (!use[j][p]) continue;
      sum += v * rest[j][p];
      total += v * v;
    }
    if (total > 0) y[p] = sum / total;
  }
  return y;
}

/** What each lane has of the pattern, the strongest lane 1; none less than nothing. */
function shapeAcross(
  rest: readonly Float64Array[],
  use: readonly Uint8Array[],
  clipped: readonly Uint8Array[],
  y: Float64Array,
): number[] {
  const anywhere = (p: number) => clipped.some((lane) => lane[p]);
  const keep = Uint8Array.from(y, (value, p) => (Number.isNaN(value) || anywhere(p) ? 0 : 1));
  // A pattern of which hardly anything is not clipped has its shape from all of it.
  const few = keep.reduce((sum, flag) => sum + flag, 0) < 0.1 * y.length;
  const shape = rest.map((lane, j) => {
    let along = 0;
    let all = 0;
    for (let p = 0; p < y.length; p++) {
      if (!use[j][p] || Number.isNaN(y[p]) || (!few && !keep[p])) continue;
      along += lane[p] * y[p];
      all += y[p] * y[p];
    }
    return all > 0 ? Math.max(along / all, 0) : 0;
  });
  const most = Math.max(...shape);
  return most > 0 ? shape.map((v) => v / most) : shape.map(() => 1);
}

function markClipped(
  saturated: Uint8Array,
  clipped: readonly Uint8Array[],
  shape: readonly number[],
): void {
  const total = shape.reduce((sum, v) => sum + v * v, 0);
  const lost = Array.from(saturated, (_, p) => {
    const sum = shape.reduce((all, v, j) => (clipped[j][p] ? all + v * v : all), 0);
    return sum > mostClipped * total;
  });
  // What is beside a full pixel has light of it by blur and by the file's own smoothing.
  for (let p = 0; p < saturated.length; p++) {
    saturated[p] = lost[p] || lost[p - 1] || lost[p + 1] ? 1 : 0;
  }
}

/** Standard deviation of a bin against its expected signal: √(α + γ y²), robustly from the medians of dark and bright bins. */
function scatterOf(
  rest: readonly Float64Array[],
  use: readonly Uint8Array[],
  shape: readonly number[],
  y: Float64Array,
  saturated: Uint8Array,
): (signal: number) => number {
  const bins: { signal: number; off: number }[] = [];
  for (const [j, lane] of rest.entries()) {
    for (let p = 0; p < y.length; p++) {
      if (!use[j][p] || saturated[p] || Number.isNaN(y[p])) continue;
      bins.push({ signal: shape[j] * y[p], off: Math.abs(lane[p] - shape[j] * y[p]) });
    }
  }
  if (bins.length < 20) return () => 1e-3;
  bins.sort((a, b) => a.signal - b.signal);
  const groups = Math.min(24, Math.floor(bins.length / 10));
  const points = Array.from({ length: groups }, (_, g) => {
    const part = bins.slice(
      Math.floor((g * bins.length) / groups),
      Math.floor(((g + 1) * bins.length) / groups),
    );
    return {
      signal: Math.max(part[part.length >> 1].signal, 0),
      deviation: 1.4826 * median(part.map(({ off }) => off)),
    };
  });
  const dark = Math.max(
    median(points.slice(0, Math.max(1, groups >> 1)).map(({ deviation }) => deviation)),
    1e-5,
  );
  const relative = points
    .filter(({ signal, deviation }) => signal > 2 * dark && deviation > dark)
    .map(({ signal, deviation }) => Math.sqrt(deviation ** 2 - dark ** 2) / signal);
  const share = relative.length > 0 ? median(relative) : 0;
  return (signal) => Math.hypot(dark, share * Math.max(signal, 0));
}
