import { type CameraCurve, linearTable } from './camera-curve';
import type { PictureRows } from './picture-rows';

/** From … up to but not including, in pixels of the upright picture. */
export interface PixelRange {
  readonly from: number;
  readonly to: number;
}

/** A band of the picture, reduced to a few lanes across while its full length is kept. */
export interface Lanes {
  /** Pixels along the pattern. */
  readonly length: number;
  readonly count: number;
  /** Middle of each lane across, pixels of the upright picture. */
  readonly middles: readonly number[];
  /** First pixel along. */
  readonly first: number;
  /** Linear signal 0…1 of each channel: lane after lane, mean of its pixels. */
  readonly channels: readonly Float32Array[];
  /** 1 where any pixel of the bin was at its limit, by channel. */
  readonly saturated: readonly Uint8Array[];
}

export interface LaneOptions {
  readonly axis: 'x' | 'y';
  readonly band: PixelRange;
  readonly along: PixelRange;
  readonly curve: CameraCurve;
  /** Share of full scale from which a pixel counts as saturated. */
  readonly saturation: number;
  readonly count: number;
}

/** Upright position (X, Y) = (xx x + xy y + x0, yx x + yy y + y0) of a pixel of the file. */
interface Turn {
  readonly width: number;
  readonly height: number;
  readonly across: readonly [xx: number, xy: number, x0: number];
  readonly down: readonly [yx: number, yy: number, y0: number];
}

/** How a picture is turned to stand upright, for the EXIF orientations 1…8 (CIPA DC-008, from memory). */
export function upright(orientation: number, width: number, height: number): Turn {
  const right = [1, 0, 0] as const;
  const left = [-1, 0, width - 1] as const;
  const down = [0, 1, 0] as const;
  const up = [0, -1, height - 1] as const;
  const [across, along] = (
    [
      [right, down],
      [left, down],
      [left, up],
      [right, up],
      [down, right],
      [up, right],
      [up, left],
      [down, left],
    ] as const
  )[orientation - 1];
  const turned = orientation >= 5;
  return {
    width: turned ? height : width,
    height: turned ? width : height,
    across,
    down: along,
  };
}

/**
 * Decode a picture once and keep only the band: curve undone, pixels averaged across each lane. Memory is that of the
 * lanes, whatever the size of the picture.
 */
export function gatherLanes(picture: PictureRows, options: LaneOptions): Lanes {
  const { band, along, axis, count } = options;
  const { channels, full } = picture;
  const length = along.to - along.from;
  const linear = linearTable(options.curve, full);
  const limit = options.saturation * full;
  const sums = Array.from({ length: channels }, () => new Float32Array(count * length));
  const saturated = Array.from({ length: channels }, () => new Uint8Array(count * length));
  const hits = new Uint16Array(count * length);
  const turn = upright(picture.orientation, picture.width, picture.height);
  const [alongBy, acrossBy] = axis === 'x' ? [turn.across, turn.down] : [turn.down, turn.across];
  const wide = band.to - band.from;
  const perLane = count / wide;

  picture.each((row, y) => {
    const level = acrossBy[1] * y + acrossBy[2] - band.from;
    if (acrossBy[0] === 0 && (level < 0 || level >= wide)) return;
    for (let x = 0; x < picture.width; x++) {
      const t = alongBy[0] * x + alongBy[1] * y + alongBy[2] - along.from;
      const v = acrossBy[0] * x + level;
      if (t < 0 || t >= length || v < 0 || v >= wide) continue;
      const bin = Math.floor(v * perLane) * length + t;
      hits[bin]++;
      for (let c = 0; c < channels; c++) {
        const code = row[x * channels + c];
        sums[c][bin] += linear[code];
        if (code >= limit) saturated[c][bin] = 1;
      }
    }
  });
  for (const sum of sums) for (let i = 0; i < sum.length; i++) sum[i] /= hits[i] || 1;
  const middles = Array.from({ length: count }, (_, k) => band.from + (k + 0.5) / perLane - 0.5);
  return { length, count, middles, first: along.from, channels: sums, saturated };
}
