import type { PictureBand } from '../../fitting/picture/find-band';
import {
  onPlane,
  type PicturePoint,
  type PictureScale,
  planeScale,
  rulerScale,
} from '../../fitting/picture/picture-scale';

/** An upright rectangle of the picture that is left out. */
export interface PictureBox {
  readonly from: PicturePoint;
  readonly to: PicturePoint;
}

/** How pixels become lengths. Lengths in m; NaN where nothing is typed yet. */
export type ScaleSetting =
  /** What one pixel shows. */
  | { readonly by: 'pixel'; readonly length: number }
  /** Two marks of a ruler, and what lies between them. */
  | { readonly by: 'ruler'; readonly marks: readonly PicturePoint[]; readonly length: number }
  /** Four corners of a rectangle of squared paper, one after the other around it; its first side and its second. */
  | {
      readonly by: 'paper';
      readonly marks: readonly PicturePoint[];
      readonly length: number;
      readonly height: number;
    };

/** A dark or bright place that was marked by hand. */
export interface Marked extends PicturePoint {
  /** Given by hand; left out: counted. */
  readonly order?: number;
}

/** Which places are marked: of one slit the dark ones, of several the bright ones. */
export type MarkedKind = 'minima' | 'maxima';

/** A value as it is typed, SI, with its standard uncertainty, 0 where none is. NaN where nothing is typed yet. */
export interface Typed {
  readonly value: number;
  readonly u: number;
}

/** All that is set on a picture: what its lines of code say. */
export interface PictureSetting {
  /** The name of the file beside the notebook. */
  readonly file: string;
  readonly band: PictureBand;
  readonly masks: readonly PictureBox[];
  readonly scale: ScaleSetting;
  readonly kind: MarkedKind;
  readonly marked: readonly Marked[];
  readonly wavelength: Typed;
  readonly distance: Typed;
}

/** Numbers as the code has them, so that the page computes with the very same ones. */
export const tenth = (value: number): number => Math.round(10 * value) / 10;
export const tenths = ({ x, y }: PicturePoint): PicturePoint => ({ x: tenth(x), y: tenth(y) });

const toPlace = (value: number, place: number): number =>
  Number.isFinite(value) ? Number((Math.round(value / place) * place).toPrecision(15)) : value;
const typedTo = ({ value, u }: Typed, place: number): Typed => ({
  value: toPlace(value, place),
  u: toPlace(u, place),
});

/** What was typed with as many digits as the code has: lengths to 1 nm, of one pixel to 1 pm, λ to 1 fm, f to 1 µm. */
export function asWritten(setting: PictureSetting): PictureSetting {
  const { scale, wavelength, distance } = setting;
  const length = toPlace(scale.length, scale.by === 'pixel' ? 1e-12 : 1e-9);
  const height = scale.by === 'paper' ? { height: toPlace(scale.height, 1e-9) } : {};
  return {
    ...setting,
    scale: { ...scale, length, ...height },
    wavelength: typedTo(wavelength, 1e-15),
    distance: typedTo(distance, 1e-6),
  };
}

export const nothingTyped: Typed = { value: Number.NaN, u: 0 };

/** How far apart two marks count as one, pixels. */
export const marksOf = { pixel: 0, ruler: 2, paper: 4 } as const;

/** The places on the paper of the corners of a rectangle, m, in the order in which they were marked. */
export const paperPlaces = (length: number, height: number): readonly PicturePoint[] => [
  { x: 0, y: 0 },
  { x: length, y: 0 },
  { x: length, y: height },
  { x: 0, y: height },
];

/**
 * The scale that is set.
 *
 * @returns undefined while something of it is not marked or typed yet
 * @throws RangeError from the library, for marks that give none
 */
export function scaleOf(setting: ScaleSetting): PictureScale | undefined {
  if (!(setting.length > 0)) return undefined;
  if (setting.by === 'pixel') {
    const { length } = setting;
    return { matrix: [length, 0, 0, 0, length, 0, 0, 0, 1], u: 0 };
  }
  const { marks, length } = setting;
  if (marks.length < marksOf[setting.by]) return undefined;
  if (setting.by === 'ruler') return rulerScale(marks[0], marks[1], length);
  if (!(setting.height > 0)) return undefined;
  const places = paperPlaces(length, setting.height);
  return planeScale(marks.map((pixel, k) => ({ pixel, place: places[k] })));
}

/** How far along the band a place of the picture lies, pixels from its first end. */
export function alongBand({ from, to }: PictureBand, { x, y }: PicturePoint): number {
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  return ((x - from.x) * (to.x - from.x) + (y - from.y) * (to.y - from.y)) / length;
}

/** The place of the picture so far along the band. */
export function atAlong({ from, to }: PictureBand, t: number): PicturePoint {
  const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const part = t / length;
  return { x: from.x + part * (to.x - from.x), y: from.y + part * (to.y - from.y) };
}

/** Where a profile has a place of the picture, m from the band's first end, to a micrometre as the code has it. */
export function placeOf(band: PictureBand, scale: PictureScale, point: PicturePoint): number {
  const t = alongBand(band, point);
  const [start, at] = [band.from, atAlong(band, t)].map((one) => onPlane(scale.matrix, one));
  const metres = Math.sign(t) * Math.hypot(at.x - start.x, at.y - start.y);
  return Math.round(metres * 1e6) / 1e6;
}

/**
 * The orders of marked places: those given by hand, and all others counted with them.
 *
 * Bright places of several slits stand evenly: the order is the nearest whole number of the commonest distance, 0 at the
 * one nearest the pattern's middle. Of one slit's dark places none stands at 0: ±1 are the nearest on both sides.
 *
 * @param places m, in any order
 * @param middle where the pattern is brightest, m
 */
export function countedOrders(
  places: readonly number[],
  middle: number,
  kind: MarkedKind,
  given: readonly (number | undefined)[] = [],
): number[] {
  if (places.length === 0) return [];
  const ranks = places.map((_, k) => k).sort((a, b) => places[a] - places[b]);
  const sorted = ranks.map((k) => places[k]);
  const step = commonStep(sorted, middle, kind);
  const orders =
    kind === 'minima' ? besideZero(sorted, middle, step) : counting(sorted, middle, step);
  const counted = new Array<number>(places.length);
  for (const [i, k] of ranks.entries()) counted[k] = orders[i];
  // What was given by hand carries the others along, when all that was given moves by the same.
  const shifts = given.flatMap((order, k) => (order === undefined ? [] : [order - counted[k]]));
  const [shift = 0] = shifts;
  const moves = kind === 'maxima' && shifts.every((one) => one === shift);
  return counted.map((order, k) => given[k] ?? order + (moves ? shift : 0));
}

/** The smallest distance that others are whole multiples of, about. */
function commonStep(sorted: readonly number[], middle: number, kind: MarkedKind): number {
  const gaps = sorted.slice(1).map((place, i) => place - sorted[i]);
  // About the middle of one slit's pattern the gap is twice as wide.
  const used =
    kind === 'minima'
      ? gaps.filter((_, i) => !(sorted[i] < middle && sorted[i + 1] > middle))
      : gaps;
  if (used.length === 0) return Math.max(...sorted.map((place) => Math.abs(place - middle)), 1e-9);
  const least = Math.min(...used);
  const near = used.filter((gap) => gap < 1.5 * least);
  return near.reduce((sum, gap) => sum + gap, 0) / near.length || 1e-9;
}

/** Orders that count on by the distances between neighbours; none is taken twice. */
function counting(sorted: readonly number[], middle: number, step: number): number[] {
  const steps = sorted
    .slice(1)
    .map((place, i) => Math.max(1, Math.round((place - sorted[i]) / step)));
  const from = [0];
  for (const more of steps) from.push(from[from.length - 1] + more);
  const nearest = sorted.reduce(
    (best, place, i) => (Math.abs(place - middle) < Math.abs(sorted[best] - middle) ? i : best),
    0,
  );
  return from.map((order) => order - from[nearest]);
}

function besideZero(sorted: readonly number[], middle: number, step: number): number[] {
  const right = sorted.filter((place) => place >= middle);
  const left = sorted.filter((place) => place < middle).reverse();
  const away = (side: readonly number[]) => {
    const orders: number[] = [];
    for (const [i, place] of side.entries()) {
      const gap = i === 0 ? Math.abs(place - middle) : Math.abs(place - side[i - 1]);
      orders.push((orders[i - 1] ?? 0) + Math.max(1, Math.round(gap / step)));
    }
    return orders;
  };
  return [
    ...away(left)
      .map((order) => -order)
      .reverse(),
    ...away(right),
  ];
}

/** The unit vectors along the band and across it. */
export function directions({ band }: PictureSetting) {
  const [dx, dy] = [band.to.x - band.from.x, band.to.y - band.from.y];
  const length = Math.hypot(dx, dy) || 1;
  return { along: { x: dx / length, y: dy / length }, across: { x: -dy / length, y: dx / length } };
}

/** The place at this share of the band's length. */
export const atPart = ({ band: { from, to } }: PictureSetting, part: number): PicturePoint => ({
  x: from.x + part * (to.x - from.x),
  y: from.y + part * (to.y - from.y),
});
