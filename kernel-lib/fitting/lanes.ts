import type { PictureRows } from './picture-kind';
import { linearFromSrgb } from './srgb-curve';

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
  /** 1 where any pixel of the cell was at its limit, by channel. */
  readonly saturated: readonly Uint8Array[];
}

export interface LaneOptions {
  readonly axis: 'x' | 'y';
  readonly band: PixelRange;
  readonly along: PixelRange;
  readonly curve: 'sRGB' | 'linear';
  /** Share of full scale from which a pixel counts as saturated. */
  readonly saturation: number;
  readonly count: number;
}

/** Upright position of a pixel of the file, for the EXIF orientations 1…8 (CIPA DC-008, from memory). */
export function upright(orientation: number, width: number, height: number) {
  const [w, h] = [width - 1, height - 1];
  const turns: Record<number, (x: number, y: number) => readonly [number, number]> = {
    1: (x, y) => [x, y],
    2: (x, y) => [w - x, y],
    3: (x, y) => [w - x, h - y],
    4: (x, y) => [x, h - y],
    5: (x, y) => [y, x],
    6: (x, y) => [h - y, x],
    7: (x, y) => [h - y, w - x],
    8: (x, y) => [y, w - x],
  };
  const turned = orientation >= 5;
  return {
    width: turned ? height : width,
    height: turned ? width : height,
    place: turns[orientation] ?? turns[1],
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
  const linear = Float32Array.from({ length: full + 1 }, (_, code) =>
    options.curve === 'sRGB' ? linearFromSrgb(code / full) : code / full,
  );
  const limit = options.saturation * full;
  const sums = Array.from({ length: channels }, () => new Float32Array(count * length));
  const saturated = Array.from({ length: channels }, () => new Uint8Array(count * length));
  const hits = new Uint16Array(count * length);
  const { place } = upright(picture.orientation, picture.width, picture.height);
  const perLane = count / (band.to - band.from);

  picture.each((row, y) => {
    for (let x = 0; x < picture.width; x++) {
      const [px, py] = place(x, y);
      const t = (axis === 'x' ? px : py) - along.from;
      const v = (axis === 'x' ? py : px) - band.from;
      if (t < 0 || t >= length || v < 0 || v >= band.to - band.from) continue;
      const cell = Math.floor(v * perLane) * length + t;
      hits[cell]++;
      for (let c = 0; c < channels; c++) {
        const code = row[x * channels + c];
        sums[c][cell] += linear[code];
        if (code >= limit) saturated[c][cell] = 1;
      }
    }
  });
  for (const sum of sums) for (let i = 0; i < sum.length; i++) sum[i] /= hits[i] || 1;
  const middles = Array.from({ length: count }, (_, k) => band.from + (k + 0.5) / perLane - 0.5);
  return { length, count, middles, first: along.from, channels: sums, saturated };
}
