import { requirePositive, requireWhole } from '../../numerics/require';
import type { Profile } from '../profile';
import { averageLanes } from './average-lanes';
import {
  type BandSignal,
  bandSignal,
  checkMask,
  gatherBand,
  type PictureMask,
} from './band-profile';
import { type CameraCurve, linearTable } from './camera-curve';
import { findBand, type PictureBand } from './find-band';
import { gatherLanes, type Lanes, type PixelRange, upright } from './lanes';
import type { PictureRows } from './picture-rows';
import { type PictureScale, placesAlong } from './picture-scale';
import { readPicture } from './read-picture';
import { type Band, findTilt, straighten } from './straighten';

/** What a profile is taken from: one channel of a colour picture, or the grey of one without colours. */
export type PictureChannel = 'red' | 'green' | 'blue' | 'grey';

/** Settings of `pictureProfile`. Pixels are counted in the upright picture, from its upper left corner. */
export interface PictureProfileOptions {
  /** Size of one pixel where the pattern was, m: from the camera's data; or give `scale`. */
  readonly pixel?: number;
  /** Pixels to metres, from a ruler or squared paper in the picture: `rulerScale`, `planeScale`. */
  readonly scale?: PictureScale;
  /** Direction in which tall fringes follow each other, default x. Given, the picture's own rows or columns are read. */
  readonly axis?: 'x' | 'y';
  /**
   * What is read: a strip along a line between two ends, `{ from: { x, y }, to: { x, y }, width }`; 'find' for the bright
   * row of spots; or a range of rows (along y: columns) of fringes that are tall. Default: the row of spots, and where the
   * fringes reach across the picture all rows above four fifths of the brightest.
   */
  readonly band?: PixelRange | PictureBand | 'find';
  /** Pixels along the pattern, default all. Not with a band along a line, which has its own ends. */
  readonly along?: PixelRange;
  /** rad by which tall fringes lean: those at i cos φ + v sin φ, v across, belong together. Default: found. */
  readonly tilt?: number | 'find';
  /** Default: the brightest channel; where that is saturated another, if it has a quarter of its light. */
  readonly channel?: PictureChannel;
  /** The camera's curve, default sRGB; linear for scientific cameras; or as `curveFromExposures` measured it. */
  readonly curve?: CameraCurve;
  /** Share of full scale from which a pixel counts as saturated, default 0.98. */
  readonly saturation?: number;
  /** Subtracted from the signal (0…1), or a dark band of the picture whose mean is; default 0. */
  readonly background?: number | PixelRange;
  /** Share of the signal that the lens loses at the picture's corners, default 0; it is put back. */
  readonly vignetting?: number;
  /** Parts that are left out, round or upright rectangles: dust, a reflection. Only along a line. */
  readonly masks?: readonly PictureMask[];
}

/** A profile and how it came out of the picture. */
export interface PictureProfile extends Profile {
  readonly u: Float64Array;
  readonly saturated: Uint8Array;
  readonly kind: 'PNG' | 'JPEG';
  /** Of the upright picture, pixels. */
  readonly width: number;
  readonly height: number;
  /** What was read, to be drawn on the picture: a strip along a line. Given again as `band` it is read again. */
  readonly line: PictureBand;
  /** The rows or columns that were averaged, where the band does not lean. */
  readonly band?: PixelRange;
  readonly channel: PictureChannel;
  /** rad by which the band, or the fringes in it, lean. */
  readonly tilt: number;
}

const mostLanes = 200;

/**
 * The pattern in a photograph as a profile: band found or given, camera's curve undone, lanes put together, saturated
 * positions marked, pixels turned into metres, uncertainty from the scatter across the band.
 *
 * A row of spots is read along its own line, however it leans: the ground is told by both sides of the band and levelled
 * (daylight, paper), lanes weigh as much as they have light, dust and ruled lines are left out. Tall fringes, which reach
 * across the picture, are straightened by their tilt and averaged over its rows.
 *
 * The file is read row by row and only the band is kept, so large pictures need little memory. JPEG's blocks tie the
 * noise of neighbouring pixels together; `fitSlits` sees that in its residuals.
 *
 * @param file a PNG or JPEG file: the name of one beside the notebook, such as `my.jpg`, or its bytes
 * @param options pixel size (m) or scale, band, axis, tilt, channel, curve
 * @returns positions in m from the picture's edge or the band's first end, signal 0…1 linear in irradiance, u, saturated
 * @throws RangeError when the file is no picture, a band lies outside it, no row of spots is found, the fringes lean by
 * more than the search looks for (10°), or every position is saturated
 * @example
 * const pair = { count: 2, slitWidth: um(40), spacing: um(100), wavelength: nm(546.1), focalLength: 0.5 };
 * const bytes = encodePicture(slitPicture(seeded(1), { ...pair, width: 60, height: 10, pixel: um(20) }));
 * pictureProfile(bytes, { pixel: um(20), band: { from: 2, to: 8 } }).channel // 'grey'
 */
export function pictureProfile(
  file: Uint8Array | string,
  options: PictureProfileOptions,
): PictureProfile {
  scaleOf(options);
  return profileOfPicture(readPicture(file), options);
}

/** The same of a picture that was opened already. */
export function profileOfPicture(
  picture: PictureRows,
  options: PictureProfileOptions,
): PictureProfile {
  const scale = scaleOf(options);
  const linear = linearTable(options.curve, picture.full);
  const { band, axis, tilt, along } = options;
  if (isLine(band)) return alongLine(picture, checkLine(band, picture), options, scale, linear);
  const open = band === undefined && !axis && tilt === undefined && !along;
  if (band === 'find' || open) {
    const found = findBand(picture, linear);
    if (found) return alongLine(picture, found, options, scale, linear);
    if (band === 'find') {
      throw new RangeError(
        'No row of spots stands out of this picture. Give the band yourself, { from: { x, y }, to: { x, y }, width } in pixels, or, for fringes that reach across the picture, its rows: { from, to }.',
      );
    }
  }
  return acrossRows(picture, { ...options, band: band as PixelRange | undefined }, scale);
}

const isLine = (band: PictureProfileOptions['band']): band is PictureBand =>
  typeof band === 'object' && typeof band.from === 'object';

function scaleOf({ pixel, scale }: PictureProfileOptions = {}): PictureScale {
  if (scale === undefined) {
    requirePositive(
      'The pixel size',
      pixel as number,
      'give it in metres, such as um(4.8), or a scale from a ruler in the picture: rulerScale',
    );
    return { matrix: [pixel as number, 0, 0, 0, pixel as number, 0, 0, 0, 1], u: 0 };
  }
  if (pixel !== undefined) {
    throw new RangeError('Both pixel and scale were given: leave one of them out.');
  }
  if (!(scale?.matrix?.length === 9 && scale.matrix.every(Number.isFinite) && scale.u >= 0)) {
    throw new RangeError('The scale is none: give what rulerScale or planeScale returned.');
  }
  return scale;
}

function checkLine(band: PictureBand, picture: PictureRows): PictureBand {
  const { width, height } = upright(picture.orientation, picture.width, picture.height);
  for (const end of ['from', 'to'] as const) {
    const { x, y } = band[end] ?? {};
    if (!(x >= -1 && x <= width && y >= -1 && y <= height)) {
      throw new RangeError(
        `The band's end band.${end} is (${x}, ${y}), outside the picture of ${width} × ${height} pixels: give { x, y } in pixels from its upper left corner.`,
      );
    }
  }
  requirePositive("The band's width", band.width, 'give it in pixels');
  if (Math.hypot(band.to.x - band.from.x, band.to.y - band.from.y) < 10) {
    throw new RangeError('The band is shorter than 10 pixels: draw it from end to end.');
  }
  return band;
}

/** A row of spots, read along its line. */
function alongLine(
  picture: PictureRows,
  found: PictureBand,
  options: PictureProfileOptions,
  scale: PictureScale,
  linear: Float32Array,
): PictureProfile {
  const size = upright(picture.orientation, picture.width, picture.height);
  const { background = 0, masks = [] } = options;
  for (const mask of masks) checkMask(mask);
  if (options.along || typeof background !== 'number') {
    throw new RangeError(
      `${options.along ? 'along' : 'a range as background'} does not go with a band along a line, which has its own ends and takes the ground from both its sides. Leave it out.`,
    );
  }
  const { from, to, width } = found;
  const line = { from, to, width };
  const lanes = gatherBand(picture, {
    ...{ band: line, linear, masks, matrix: scale.matrix },
    limit: (options.saturation ?? 0.98) * picture.full,
    vignetting: checkVignetting(options.vignetting),
  });
  const names = namesOf(picture);
  const asked = options.channel && names.indexOf(options.channel);
  if (asked === -1) throw noChannel(options.channel as string, names);
  const signals = names.map((_, c) => bandSignal(lanes, c, width));
  const index = asked ?? bestChannel(signals.map(lightOf));
  const { y, u, saturated } = signals[index];
  const keep = Array.from(y.keys()).filter((p) => !Number.isNaN(y[p]));
  const of = (list: Float64Array) => Float64Array.from(keep, (p) => list[p]);
  if (keep.every((p) => saturated[p])) throw allSaturated('this band', names[index]);
  return {
    x: of(lanes.x),
    y: of(y).map((value) => value - background),
    u: of(u),
    saturated: Uint8Array.from(keep, (p) => saturated[p]),
    uScale: scale.u,
    kind: picture.kind,
    ...{ width: size.width, height: size.height, line, channel: names[index] },
    tilt: Math.atan2(to.y - from.y, to.x - from.x),
  };
}

/** The pattern of a channel above its ground, full or not. */
function lightOf({ y, ground, saturated }: BandSignal): ChannelLight {
  const light = y.reduce((sum, value) => (value > ground ? sum + value - ground : sum), 0);
  const full = saturated.reduce((sum, flag) => sum + flag, 0) / saturated.length;
  return { total: light, light, full };
}

/** Tall fringes, averaged over rows or columns of the picture. */
function acrossRows(
  picture: PictureRows,
  options: Omit<PictureProfileOptions, 'band'> & { readonly band?: PixelRange },
  scale: PictureScale,
): PictureProfile {
  const size = upright(picture.orientation, picture.width, picture.height);
  const { axis = 'x' } = options;
  const [long, wide] = axis === 'x' ? [size.width, size.height] : [size.height, size.width];
  const along = checkRange('along', options.along, long);
  const asked = checkRange('band', options.band, wide);
  const gather = (band: PixelRange): Lanes =>
    gatherLanes(picture, {
      ...{ axis, band, along, curve: options.curve ?? 'sRGB' },
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
  const loss = checkVignetting(options.vignetting);
  if (loss) undoVignetting(chosen, loss, lanes, long, wide);
  const tilt = typeof options.tilt === 'number' ? options.tilt : findTilt(chosen);
  const straight = straighten(chosen, tilt);
  const { y, u, saturated } = averageLanes(chosen, straight);
  if (!saturated.includes(0)) {
    throw allSaturated(`this band (${band.from} to ${band.to}, ${channel.name})`);
  }
  const dark = darkOf(options.background, gather, channel.index, wide);
  const place = placesAlong(scale, axis, middle);
  const ends = [along.from, along.to - 1].map((at) =>
    axis === 'x' ? { x: at, y: middle } : { x: middle, y: at },
  );
  return {
    x: Float64Array.from(y, (_, p) => place(lanes.first + straight.first + p)),
    y: y.map((value) => value - dark),
    u,
    saturated,
    ...(scale.u > 0 ? { uScale: scale.u } : {}),
    kind: picture.kind,
    width: size.width,
    height: size.height,
    line: { from: ends[0], to: ends[1], width: band.to - band.from },
    band,
    channel: channel.name,
    tilt,
  };
}

const allSaturated = (what: string, channel?: string) =>
  new RangeError(
    `Every position of ${what}${channel ? ` (${channel})` : ''} is saturated: nothing can be measured in it. Expose shorter, or choose a darker band or another channel.`,
  );

function checkVignetting(loss = 0): number {
  if (loss > -1 && loss < 1) return loss;
  throw new RangeError(`vignetting is ${loss}: give the share lost at the corners, such as 0.2.`);
}

const namesOf = ({ channels }: PictureRows): readonly PictureChannel[] =>
  channels === 1 ? ['grey'] : ['red', 'green', 'blue'];

const noChannel = (asked: string, names: readonly string[]) =>
  new RangeError(`This picture has no channel "${asked}", only ${names.join(', ')}.`);

/** Divide by 1 − k r²/R², r from the picture's middle, R to its corner. */
function undoVignetting(band: Band, loss: number, lanes: Lanes, long: number, wide: number): void {
  const [midAlong, midAcross] = [(long - 1) / 2, (wide - 1) / 2];
  const corner = midAlong ** 2 + midAcross ** 2;
  for (const [v, at] of lanes.middles.entries()) {
    for (let t = 0; t < band.length; t++) {
      const square = (lanes.first + t - midAlong) ** 2 + (at - midAcross) ** 2;
      band.values[v * band.length + t] /= 1 - (loss * square) / corner;
    }
  }
}

/** How much of a channel is light of the pattern, and how much of it is at its limit. */
interface ChannelLight {
  readonly total: number;
  readonly light: number;
  /** Share of bins. */
  readonly full: number;
}

/** A channel takes the place of a saturated one if it has this share of its light: less is what leaks into it. */
const enough = 0.2;

/** A channel that is saturated in more of the band than this counts only where no other has its light. */
const mostFull = 0.02;

/**
 * The brightest channel. Where it is saturated, another that has its light, too; else its own with the saturated parts left
 * out, which is better than the little that leaks into the others.
 */
function bestChannel(all: readonly ChannelLight[]): number {
  const index = all.reduce((best, one, k) => (one.total > all[best].total ? k : best), 0);
  const own = all[index];
  if (own.full <= mostFull) return index;
  const even = own.light < 0.1 * own.total;
  const hasLight = (one: ChannelLight) =>
    even || one.light >= enough * own.light || one.full > mostFull;
  const rank = ({ full, total }: ChannelLight) => (full > mostFull ? -full : total);
  const allowed = (one: ChannelLight) => one === own || own.full > 0.5 || hasLight(one);
  return all.reduce(
    (best, one, k) => (allowed(one) && rank(one) > rank(all[best]) ? k : best),
    index,
  );
}

function channelOf(asked: PictureChannel | undefined, lanes: Lanes, picture: PictureRows) {
  const names = namesOf(picture);
  if (asked) {
    const index = names.indexOf(asked);
    if (index >= 0) return { index, name: asked };
    throw noChannel(asked, names);
  }
  const index = bestChannel(
    lanes.channels.map((values, k) => {
      const total = values.reduce((sum, value) => sum + value, 0);
      const low = Float32Array.from(values).sort()[Math.floor(values.length / 10)];
      const full = lanes.saturated[k].reduce((sum, flag) => sum + flag, 0) / values.length;
      return { total, light: total - low * values.length, full };
    }),
  );
  return { index, name: names[index] };
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
