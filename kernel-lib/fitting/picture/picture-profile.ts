import { requirePositive, requireWhole } from '../../numerics/require';
import type { Profile } from '../profile';
import { averageLanes } from './average-lanes';
import { gatherLanes, type Lanes, type PixelRange, upright } from './lanes';
import type { PictureRows } from './picture-rows';
import { readPicture } from './read-picture';
import { type Band, findTilt, straighten } from './straighten';

/** What a profile is taken from: one channel of a colour picture, or the grey of one without colours. */
export type PictureChannel = 'red' | 'green' | 'blue' | 'grey';

/** Settings of `pictureProfile`. Pixels are counted in the upright picture, from its upper left corner. */
export interface PictureProfileOptions {
  /** Size of one pixel where the pattern was, m: from a scale in the picture, or the camera's data. */
  readonly pixel: number;
  /** Direction in which the pattern spreads, default x. */
  readonly axis?: 'x' | 'y';
  /** Pixels across the pattern that are averaged; default the brightest part: all lanes above four fifths of the brightest. */
  readonly band?: PixelRange;
  /** Pixels along the pattern, default all. */
  readonly along?: PixelRange;
  /** rad by which the fringes lean: those at i cos φ + v sin φ, v across, belong together. Default: found. */
  readonly tilt?: number | 'find';
  /** Default: the brightest channel that is hardly saturated. */
  readonly channel?: PictureChannel;
  /** The camera's curve, default sRGB; linear for scientific cameras. */
  readonly curve?: 'sRGB' | 'linear';
  /** Share of full scale from which a pixel counts as saturated, default 0.98. */
  readonly saturation?: number;
  /** Subtracted from the signal (0…1), or a dark band of the picture whose mean is; default 0. */
  readonly background?: number | PixelRange;
  /** Share of the signal that the lens loses at the picture's corners, default 0; it is put back. */
  readonly vignetting?: number;
}

/** A profile and how it came out of the picture. */
export interface PictureProfile extends Profile {
  readonly u: Float64Array;
  readonly saturated: Uint8Array;
  readonly kind: 'PNG' | 'JPEG';
  /** Of the upright picture, pixels. */
  readonly width: number;
  readonly height: number;
  readonly band: PixelRange;
  readonly channel: PictureChannel;
  /** rad. */
  readonly tilt: number;
}

const mostLanes = 200;

/**
 * The pattern in a photograph as a profile: band chosen, camera's curve undone, tilt straightened, averaged across,
 * saturated positions marked, pixels turned into metres, uncertainty from the scatter across the band.
 *
 * The file is read row by row and only the band is kept, so large pictures need little memory. JPEG's blocks tie the
 * noise of neighbouring pixels together, which makes u from a strongly compressed picture somewhat too small.
 *
 * @param bytes a PNG or JPEG file
 * @param options pixel size (m), band, axis, tilt, channel, curve
 * @returns positions in m from the picture's edge, signal 0…1 linear in irradiance, u, saturated
 * @throws RangeError when the file is no picture, a range lies outside it, or every position is saturated
 * @example
 * const pair = { count: 2, slitWidth: um(40), spacing: um(100), wavelength: nm(546.1), focalLength: 0.5 };
 * const bytes = encodePicture(slitPicture(seeded(1), { ...pair, width: 60, height: 10, pixel: um(20) }));
 * pictureProfile(bytes, { pixel: um(20), band: { from: 2, to: 8 } }).channel // 'grey'
 */
export function pictureProfile(bytes: Uint8Array, options: PictureProfileOptions): PictureProfile {
  requirePositive('The pixel size', options?.pixel, 'give it in metres, such as um(4.8)');
  const picture = readPicture(bytes);
  const size = upright(picture.orientation, picture.width, picture.height);
  const { axis = 'x' } = options;
  const [long, wide] = axis === 'x' ? [size.width, size.height] : [size.height, size.width];
  const along = checkRange('along', options.along, long);
  const asked = checkRange('band', options.band, wide);
  const gather = (band: PixelRange): Lanes =>
    gatherLanes(picture, {
      axis,
      band,
      along,
      curve: options.curve ?? 'sRGB',
      saturation: options.saturation ?? 0.98,
      count: Math.min(mostLanes, band.to - band.from),
    });

  let lanes = gather(asked);
  const channel = channelOf(options.channel, lanes, picture);
  let band = asked;
  if (!options.band) {
    band = brightest(lanes, channel.index, wide);
    lanes = gather(band);
  }
  const middle = (band.from + band.to - 1) / 2;
  const chosen: Band = {
    length: lanes.length,
    values: lanes.channels[channel.index],
    saturated: lanes.saturated[channel.index],
    offsets: lanes.middles.map((at) => at - middle),
  };
  if (options.vignetting) undoVignetting(chosen, options.vignetting, lanes, long, wide);
  const tilt = typeof options.tilt === 'number' ? options.tilt : findTilt(chosen);
  const straight = straighten(chosen, tilt);
  const { y, u, saturated } = averageLanes(chosen, straight);
  if (!saturated.includes(0)) {
    throw new RangeError(
      `Every position of this band (${band.from} to ${band.to}, ${channel.name}) is saturated: nothing can be measured in it. Expose shorter, or choose a darker band or another channel.`,
    );
  }
  const dark = darkOf(options.background, gather, channel.index, wide);
  return {
    x: Float64Array.from(y, (_, p) => (lanes.first + straight.first + p) * options.pixel),
    y: y.map((value) => value - dark),
    u,
    saturated,
    kind: picture.kind,
    width: size.width,
    height: size.height,
    band,
    channel: channel.name,
    tilt,
  };
}

/** Divide by 1 − k r²/R², r from the picture's middle, R to its corner. */
function undoVignetting(band: Band, loss: number, lanes: Lanes, long: number, wide: number): void {
  if (!(loss > -1 && loss < 1)) {
    throw new RangeError(`vignetting is ${loss}: give the share lost at the corners, such as 0.2.`);
  }
  const [midAlong, midAcross] = [(long - 1) / 2, (wide - 1) / 2];
  const corner = midAlong ** 2 + midAcross ** 2;
  for (const [v, at] of lanes.middles.entries()) {
    for (let t = 0; t < band.length; t++) {
      const square = (lanes.first + t - midAlong) ** 2 + (at - midAcross) ** 2;
      band.values[v * band.length + t] /= 1 - (loss * square) / corner;
    }
  }
}

function channelOf(asked: PictureChannel | undefined, lanes: Lanes, picture: PictureRows) {
  const names: readonly PictureChannel[] =
    picture.channels === 1 ? ['grey'] : ['red', 'green', 'blue'];
  if (asked) {
    const index = names.indexOf(asked);
    if (index >= 0) return { index, name: asked };
    throw new RangeError(`This picture has no channel "${asked}", only ${names.join(', ')}.`);
  }
  const ranks = lanes.channels.map((values, index) => {
    const total = values.reduce((sum, value) => sum + value, 0);
    const full = lanes.saturated[index].reduce((sum, flag) => sum + flag, 0) / values.length;
    // A channel that is saturated in more than a fiftieth of the band counts as a last resort.
    return { index, name: names[index], rank: full > 0.02 ? -full : total };
  });
  return ranks.reduce((best, one) => (one.rank > best.rank ? one : best));
}

/** The lanes around the brightest that lie above four fifths of it, the darkest taken as zero. */
function brightest(lanes: Lanes, channel: number, wide: number): PixelRange {
  const { count, length } = lanes;
  const means = Array.from({ length: count }, (_, k) => {
    let sum = 0;
    for (let t = 0; t < length; t++) sum += lanes.channels[channel][k * length + t];
    return sum / length;
  });
  const top = Math.max(...means);
  const least = Math.min(...means);
  const enough = least + 0.8 * (top - least);
  let from = means.indexOf(top);
  let to = from + 1;
  while (from > 0 && means[from - 1] > enough) from--;
  while (to < count && means[to] > enough) to++;
  const perLane = wide / count;
  return { from: Math.floor(from * perLane), to: Math.min(wide, Math.ceil(to * perLane)) };
}

function darkOf(
  background: PictureProfileOptions['background'],
  gather: (band: PixelRange) => Lanes,
  channel: number,
  wide: number,
): number {
  if (background === undefined) return 0;
  if (typeof background === 'number') return background;
  const dark = gather(checkRange('background', background, wide)).channels[channel];
  return dark.reduce((sum, value) => sum + value, 0) / dark.length;
}

function checkRange(name: string, range: PixelRange | undefined, size: number): PixelRange {
  if (!range) return { from: 0, to: size };
  requireWhole(`${name}.from`, range.from, 0, size - 1);
  requireWhole(`${name}.to`, range.to, 1, size);
  if (range.to <= range.from) {
    throw new RangeError(
      `${name} runs from ${range.from} to ${range.to}: the end must be larger. The picture has ${size} pixels there.`,
    );
  }
  return range;
}
