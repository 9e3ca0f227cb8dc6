import { median } from '../../numerics/median';
import { upright } from './lanes';
import type { PictureRows } from './picture-rows';
import type { PicturePoint } from './picture-scale';

/** A strip of the picture along which the pattern is read: a line between two ends, and its width. Upright pixels. */
export interface PictureBand {
  readonly from: PicturePoint;
  readonly to: PicturePoint;
  /** Across the line, pixels, half of it on each side. */
  readonly width: number;
}

/** The picture is looked at so small, pixels along its longer side: a ridge is broad, and it is quick. */
const lookedAt = 640;

/** Directions that are tried, degrees apart. */
const stepDegrees = 1;

/** How many standard deviations of the ground a pixel of the ridge stands above it. */
const standsOut = 5;

/** What fixes the line: above this share of the brightest, where the glow around it is not; and what shows its ends. */
const shareOfLine = 0.06;
const shareOfEnds = 0.01;

/** A row of spots is longer than it is tall by at least this; what is rounder has no direction. */
const leastElongation = 2.5;

/** How bright the light may still be where the picture ends across the ridge, as a share of its middle. */
const openEdge = 0.3;

/**
 * The band of a pattern that is a row of spots: the bright ridge of light of one colour.
 *
 * White things (daylight, rulers, paper, the wall) have the same excess over the ground in all channels, so the channel
 * that exceeds the others shows the laser alone; in a grey picture all that stands above the ground counts. The line is
 * that onto which most of this light falls when it is projected along every direction (each pixel by its root, lest a
 * lamp's reflection outweighs the spots), then moved to the middle of the light across it, outliers left out.
 *
 * @returns undefined where no ridge stands out, or where the light goes on to the picture's edges across it: tall fringes
 */
export function findBand(picture: PictureRows, linear: Float32Array): PictureBand | undefined {
  const small = shrink(picture, linear);
  const excess = coloured(small);
  const bright = standingOut(small, excess, shareOfLine);
  if (bright.length < 12) return undefined;
  const line = settle(small, bright, densestLine(small, bright));
  const seen = extentOf(small, excess, standingOut(small, excess, shareOfEnds), line);
  if (!seen) return undefined;
  const { angle } = line;
  const point = (t: number): PicturePoint => ({
    x: (t * Math.cos(angle) - line.offset * Math.sin(angle) + 0.5) * small.factor - 0.5,
    y: (t * Math.sin(angle) + line.offset * Math.cos(angle) + 0.5) * small.factor - 0.5,
  });
  return { from: point(seen.from), to: point(seen.to), width: seen.width * small.factor };
}

/** The picture made small: mean linear signal of each channel. */
interface Small {
  readonly width: number;
  readonly height: number;
  readonly factor: number;
  readonly channels: readonly Float32Array[];
}

interface Bright {
  readonly x: number;
  readonly y: number;
  readonly weight: number;
}

/** Pixels with −x sin φ + y cos φ = offset; φ in (−π/2, π/2], so that it runs to the right. */
interface Line {
  readonly angle: number;
  readonly offset: number;
}

function shrink(picture: PictureRows, linear: Float32Array): Small {
  const turn = upright(picture.orientation, picture.width, picture.height);
  const factor = Math.max(1, Math.ceil(Math.max(turn.width, turn.height) / lookedAt));
  const [width, height] = [turn.width, turn.height].map((size) =>
    Math.max(1, Math.floor(size / factor)),
  );
  const channels = Array.from({ length: picture.channels }, () => new Float32Array(width * height));
  const share = 1 / (factor * factor);
  picture.each((row, y) => {
    for (let x = 0; x < picture.width; x++) {
      const atX = turn.across[0] * x + turn.across[1] * y + turn.across[2];
      const atY = turn.down[0] * x + turn.down[1] * y + turn.down[2];
      const [i, j] = [Math.floor(atX / factor), Math.floor(atY / factor)];
      if (i >= width || j >= height) continue;
      for (let c = 0; c < picture.channels; c++) {
        channels[c][j * width + i] += linear[row[x * picture.channels + c]] * share;
      }
    }
  });
  return { width, height, factor, channels };
}

/** By how much the channel that exceeds the others most does so at each pixel, less the ground. */
function coloured({ channels }: Small): Float32Array {
  if (channels.length === 1) return lessGround(channels[0]);
  const grounds = channels.map((values) => Math.max(median(values), 1e-4));
  const all = channels.map((values, c) => {
    const others = channels.flatMap((other, k) =>
      k === c ? [] : [{ other, factor: grounds[c] / grounds[k] / 2 }],
    );
    return lessGround(
      values.map((value, i) =>
        others.reduce((rest, { other, factor }) => rest - factor * other[i], value),
      ),
    );
  });
  const strength = all.map((excess) => topMean(excess));
  const channel = strength.indexOf(Math.max(...strength));
  // A picture without colours, or of white light, is looked at by its brightness.
  const light = channels.map((values) => topMean(lessGround(values)));
  if (strength[channel] > 0.15 * Math.max(...light)) return all[channel];
  const brightest = light.indexOf(Math.max(...light));
  return lessGround(channels[brightest]);
}

function lessGround(values: Float32Array): Float32Array {
  const ground = median(values);
  return values.map((value) => value - ground);
}

/** Mean of the brightest thousandth, at least 20 pixels. */
function topMean(values: Float32Array): number {
  const sorted = Float32Array.from(values).sort();
  const count = Math.max(20, Math.floor(values.length / 1000));
  const top = sorted.subarray(-count);
  return top.reduce((sum, value) => sum + value, 0) / top.length;
}

/** Pixels above the ground, each weighing the root of its excess, none more than that of the brightest hundredth of them. */
function standingOut({ width, height }: Small, excess: Float32Array, share: number): Bright[] {
  const spread = 1.4826 * median(excess.map(Math.abs));
  const least = Math.max(standsOut * spread, share * topMean(excess));
  const found: Bright[] = [];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const value = excess[y * width + x];
      if (value > least) found.push({ x, y, weight: Math.sqrt(value) });
    }
  }
  return found;
}

/** Of all directions the one whose projection is most crowded, by the sum of squares, and its most crowded place. */
function densestLine({ width, height }: Small, bright: readonly Bright[]): Line {
  const reach = Math.ceil(Math.hypot(width, height));
  let best = { angle: 0, offset: 0, crowd: -1 };
  const bins = new Float64Array(2 * reach + 3);
  for (let degrees = -89; degrees <= 90; degrees += stepDegrees) {
    const angle = (degrees * Math.PI) / 180;
    const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
    bins.fill(0);
    for (const { x, y, weight } of bright) {
      bins[Math.round(y * cosine - x * sine) + reach + 1] += weight;
    }
    let crowd = 0;
    let top = 0;
    for (let k = 1; k < bins.length - 1; k++) {
      crowd += bins[k] * bins[k];
      if (bins[k] > bins[top]) top = k;
    }
    if (crowd > best.crowd) best = { angle, offset: top - reach - 1, crowd };
  }
  return best;
}

/** The principal axis of the light near the line, nearer in each round. */
function settle({ width, height }: Small, bright: readonly Bright[], first: Line): Line {
  let line = first;
  let reach = 0.12 * Math.min(width, height) + 3;
  for (let round = 0; round < 12; round++) {
    const { sine, cosine } = { sine: Math.sin(line.angle), cosine: Math.cos(line.angle) };
    let [n, st, sw, stt, stw, sww] = [0, 0, 0, 0, 0, 0];
    for (const { x, y, weight } of bright) {
      const t = x * cosine + y * sine;
      const w = y * cosine - x * sine - line.offset;
      if (Math.abs(w) > reach) continue;
      n += weight;
      st += weight * t;
      sw += weight * w;
      stt += weight * t * t;
      stw += weight * t * w;
      sww += weight * w * w;
    }
    if (!(n > 0)) return line;
    const [meanT, meanW] = [st / n, sw / n];
    const spread = stt / n - meanT * meanT;
    if (!(spread > 0)) return line;
    const lean = (stw / n - meanT * meanW) / spread;
    const across = Math.sqrt(Math.max(sww / n - meanW * meanW - lean * lean * spread, 0.1));
    const angle = line.angle + Math.atan(lean);
    const [x, y] = [
      meanT * cosine - (line.offset + meanW) * sine,
      meanT * sine + (line.offset + meanW) * cosine,
    ];
    line = { angle, offset: y * Math.cos(angle) - x * Math.sin(angle) };
    reach = Math.max(3 * across, 3);
  }
  return runningRight(line);
}

function runningRight({ angle, offset }: Line): Line {
  if (angle > Math.PI / 2) return { angle: angle - Math.PI, offset: -offset };
  if (angle <= -Math.PI / 2) return { angle: angle + Math.PI, offset: -offset };
  return { angle, offset };
}

/** How far the light reaches along the line, and how wide it is across. */
function extentOf(
  { width, height }: Small,
  excess: Float32Array,
  bright: readonly Bright[],
  { angle, offset }: Line,
) {
  const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
  const reach = Math.ceil(Math.hypot(width, height));
  const across = new Float64Array(2 * reach + 1);
  const cells = new Float64Array(2 * reach + 1);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const k = Math.round(y * cosine - x * sine - offset) + reach;
      if (k < 0 || k > 2 * reach) continue;
      across[k] += excess[y * width + x];
      cells[k]++;
    }
  }
  const most = Math.max(...cells);
  // Corners of the picture have few pixels at a distance: too few to say anything.
  const mean = across.map((sum, k) => (cells[k] > 0.3 * most ? sum / cells[k] : 0));
  const ground = median(mean.filter((_, k) => cells[k] > 0.3 * most));
  const level = (k: number) => mean[k] - ground;
  const top = Math.max(level(reach - 1), level(reach), level(reach + 1));
  if (!(top > 0)) return undefined;
  const inside = (k: number) => k >= 0 && k <= 2 * reach && cells[k] > 0.3 * most;
  /** From where to where around the line the light is above a share of its middle's, ends between pixels. */
  const above = (share: number) => {
    const edge = (step: number) => {
      let k = reach;
      while (inside(k + step) && level(k + step) > share * top) k += step;
      if (!inside(k + step)) return undefined;
      const drop = level(k) - level(k + step);
      return Math.abs(k - reach) + (drop > 0 ? (level(k) - share * top) / drop : 0);
    };
    const sides = [edge(-1), edge(1)];
    return sides[0] === undefined || sides[1] === undefined ? undefined : sides[0] + sides[1];
  };
  const wide = above(0.5);
  // Still bright where the picture ends: fringes that are taller than the picture.
  if (!wide) return undefined;
  const outermost = [mean.findIndex((_, k) => inside(k)), mean.findLastIndex((_, k) => inside(k))];
  if (outermost.some((k) => level(k) > openEdge * top)) return undefined;
  // Of a beam's profile it holds ±2 standard deviations; of a stripe with sharp edges hardly more than the stripe.
  const band = Math.max(Math.min(above(0.13) ?? Infinity, 1.9 * wide), 3);

  const along = bright.filter(({ x, y }) => Math.abs(y * cosine - x * sine - offset) <= wide);
  const places = along.map(({ x, y }) => x * cosine + y * sine).sort((a, b) => a - b);
  if (places.length < 8) return undefined;
  const [first, last] = [0.003, 0.997].map(
    (part) => places[Math.floor(part * (places.length - 1))],
  );
  if (last - first < leastElongation * wide) return undefined;
  const margin = 0.12 * (last - first);
  const [least, largest] = inPicture({ angle, offset }, width, height);
  return {
    from: Math.max(first - margin, least),
    to: Math.min(last + margin, largest),
    width: band,
  };
}

/** From where to where a line lies in the picture. */
function inPicture({ angle, offset }: Line, width: number, height: number): [number, number] {
  let [from, to] = [-Infinity, Infinity];
  const limits = [
    [Math.cos(angle), -offset * Math.sin(angle), width - 1],
    [Math.sin(angle), offset * Math.cos(angle), height - 1],
  ];
  for (const [rate, start, most] of limits) {
    if (Math.abs(rate) < 1e-9) continue;
    const ends = [-start / rate, (most - start) / rate].sort((a, b) => a - b);
    [from, to] = [Math.max(from, ends[0]), Math.min(to, ends[1])];
  }
  return [from, to];
}
