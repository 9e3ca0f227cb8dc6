import type { PictureBand } from '../../fitting/picture/find-band';
import { findBand } from '../../fitting/picture/find-band';
import { type PictureProfile, profileOfPicture } from '../../fitting/picture/picture-profile';
import type { PictureRows } from '../../fitting/picture/picture-rows';
import { onPlane, type PicturePoint, type PictureScale } from '../../fitting/picture/picture-scale';
import { smallPixels } from '../../fitting/picture/private-picture';
import { readPicture } from '../../fitting/picture/read-picture';
import { linearFromSrgb } from '../../fitting/picture/srgb-curve';
import { type LengthFromOrders, lengthFromOrders } from '../../fitting/slits/length-from-orders';
import { measured } from '../../quantity/measured';
import { Store } from '../store';
import {
  alongBand,
  asWritten,
  countedOrders,
  type Marked,
  nothingTyped,
  type PictureSetting,
  placeOf,
  scaleOf,
  type Typed,
  tenth,
  tenths,
} from './picture-setting';

/** What comes of a setting. */
export interface PictureOutcome {
  /** Along the band. Without a scale its x are pixels. */
  readonly profile?: PictureProfile;
  /** Why there is none. */
  readonly fault: string;
  /** Of a picture made smaller, while something is dragged. */
  readonly isQuick: boolean;
  readonly scale?: PictureScale;
  readonly scaleFault: string;
  /** Places and orders of what was marked, in the order in which it was. */
  readonly places: readonly number[];
  readonly orders: readonly number[];
  readonly byHand?: LengthFromOrders;
  /** What is still needed for it, or why it gives nothing. */
  readonly byHandFault: string;
}

/** While something is dragged, the picture is looked at so small, pixels along its longer side. */
const quickSize = 700;

/** Without a scale a profile counts pixels. */
const bare: PictureScale = { matrix: [1, 0, 0, 0, 1, 0, 0, 0, 1], u: 0 };

/** A picture that is worked on: what is set on it, and what the library makes of that. */
export class PictureWork {
  readonly setting: Store<PictureSetting>;
  readonly outcome: Store<PictureOutcome>;
  /** Whether a band stood out by itself. */
  readonly wasFound: boolean;
  readonly width: number;
  readonly height: number;
  private readonly picture: PictureRows;
  private small: { readonly picture: PictureRows; readonly factor: number } | undefined;

  /**
   * @param bytes the file, PNG
   * @param before what was set on it earlier
   * @throws RangeError when it is no picture
   */
  constructor(file: string, bytes: Uint8Array, before?: PictureSetting) {
    this.picture = inMemory(readPicture(bytes));
    ({ width: this.width, height: this.height } = this.picture);
    const { found, band } = before ? { found: true, band: before.band } : this.bandByItself();
    this.wasFound = found;
    this.setting = new Store<PictureSetting>(
      before ?? {
        ...{ file, band, masks: [], marked: [], kind: 'maxima' },
        scale: { by: 'ruler', marks: [], length: Number.NaN },
        ...{ wavelength: nothingTyped, distance: nothingTyped },
      },
    );
    this.outcome = new Store(this.compute(false));
  }

  /** The bright row of spots, or a strip across the middle where none stands out. */
  private bandByItself(): { found: boolean; band: PictureBand } {
    const { full } = this.picture;
    const linear = Float32Array.from({ length: full + 1 }, (_, c) => linearFromSrgb(c / full));
    const found = findBand(this.picture, linear);
    if (found) {
      const { from, to, width } = found;
      const band = { from: tenths(from), to: tenths(to), width: tenth(width) };
      return { found: true, band };
    }
    const y = tenth(this.height / 2);
    const [left, right] = [0.05, 0.95].map((part) => tenth(part * this.width));
    const width = tenth(Math.max(3, this.height / 12));
    return { found: false, band: { from: { x: left, y }, to: { x: right, y }, width } };
  }

  /** Look for the band anew. */
  find(): void {
    this.change({ band: this.bandByItself().band });
  }

  /**
   * Set something.
   *
   * @param isDragged it goes on at once: compute on a smaller picture
   */
  change(part: Partial<PictureSetting>, isDragged = false): void {
    this.setting.set(asWritten({ ...this.setting.value, ...part }));
    this.outcome.set(this.compute(isDragged));
  }

  /** What was dragged stays. */
  settle(): void {
    if (this.outcome.value.isQuick) this.outcome.set(this.compute(false));
  }

  /** Move an end of the band; kept in the picture. */
  moveEnd(end: 'from' | 'to', to: PicturePoint, isDragged = false): void {
    const { band } = this.setting.value;
    const other = end === 'from' ? band.to : band.from;
    const moved = this.inside(to);
    // Shorter, and the library would read nothing: the end stops before the other.
    if (Math.hypot(moved.x - other.x, moved.y - other.y) < 12) return;
    this.change({ band: { ...band, [end]: moved } }, isDragged);
  }

  setWidth(width: number, isDragged = false): void {
    const { band } = this.setting.value;
    const most = Math.max(this.width, this.height);
    this.change({ band: { ...band, width: tenth(Math.min(Math.max(width, 1), most)) } }, isDragged);
  }

  /** Move the whole band. */
  moveBand(by: PicturePoint, isDragged = false): void {
    const { band } = this.setting.value;
    const [from, to] = [band.from, band.to].map(({ x, y }) => ({ x: x + by.x, y: y + by.y }));
    const [a, b] = [this.inside(from), this.inside(to)];
    const isCut = Math.hypot(a.x - from.x, a.y - from.y, b.x - to.x, b.y - to.y) > 0.2;
    if (!isCut) this.change({ band: { ...band, from: a, to: b } }, isDragged);
  }

  /** A place within the picture, to a tenth of a pixel. */
  inside({ x, y }: PicturePoint): PicturePoint {
    return tenths({
      x: Math.min(Math.max(x, 0), this.width - 1),
      y: Math.min(Math.max(y, 0), this.height - 1),
    });
  }

  addMask(from: PicturePoint, to: PicturePoint): void {
    const [a, b] = [this.inside(from), this.inside(to)];
    if (Math.abs(a.x - b.x) < 1 && Math.abs(a.y - b.y) < 1) return;
    const box = {
      from: { x: Math.min(a.x, b.x), y: Math.min(a.y, b.y) },
      to: { x: Math.max(a.x, b.x), y: Math.max(a.y, b.y) },
    };
    this.change({ masks: [...this.setting.value.masks, box] });
  }

  removeMask(index: number): void {
    this.change({ masks: this.setting.value.masks.filter((_, k) => k !== index) });
  }

  /** Mark a place of the pattern; it is taken onto the band's line. */
  mark(at: PicturePoint): void {
    const point = tenths(this.inside(at));
    this.change({ marked: [...this.setting.value.marked, point] });
  }

  changeMark(index: number, part: Partial<Marked>, isDragged = false): void {
    const marked = this.setting.value.marked.map((one, k) =>
      k === index ? { ...one, ...part } : one,
    );
    this.change({ marked }, isDragged);
  }

  removeMark(index: number): void {
    this.change({ marked: this.setting.value.marked.filter((_, k) => k !== index) });
  }

  /** Where the profile is brightest, smoothed over a 60th of it: about the pattern's middle; in the unit of its x. */
  private middleOf({ x, y }: PictureProfile): number {
    const reach = Math.max(1, Math.round(x.length / 120));
    let [best, at] = [-Infinity, 0];
    let sum = 0;
    for (let i = 0; i < y.length + reach; i++) {
      if (i < y.length) sum += y[i];
      if (i >= 2 * reach + 1) sum -= y[i - 2 * reach - 1];
      const middle = i - reach;
      if (middle >= 0 && middle < y.length && sum > best) [best, at] = [sum, middle];
    }
    return x[at];
  }

  private compute(isQuick: boolean): PictureOutcome {
    const setting = this.setting.value;
    const { band, marked, kind } = setting;
    let scale: PictureScale | undefined;
    let scaleFault = '';
    try {
      scale = scaleOf(setting.scale);
    } catch (error) {
      scaleFault = (error as Error).message;
    }
    const { profile, fault } = this.profileOnce(setting, scale ?? bare, isQuick);
    const places = marked.map((one) => placeOrPixels(band, scale, one));
    const middle = profile ? this.middleOf(profile) : 0;
    const given = marked.map(({ order }) => order);
    const orders = countedOrders(places, middle, kind, given);
    const { byHand, byHandFault } = byHandOf(setting, scale, places, orders);
    const found = { profile, fault, isQuick, scale, scaleFault };
    return { ...found, places, orders, byHand, byHandFault };
  }

  private last: (Pick<PictureOutcome, 'profile' | 'fault'> & { readonly of: string }) | undefined;

  /** Marks change nothing of it: then it is not read again. */
  private profileOnce(setting: PictureSetting, scale: PictureScale, isQuick: boolean) {
    const of = JSON.stringify([setting.band, setting.masks, scale, isQuick]);
    if (this.last?.of === of) return this.last;
    try {
      this.last = { of, profile: this.profileBy(setting, scale, isQuick), fault: '' };
    } catch (error) {
      this.last = { of, fault: (error as Error).message };
    }
    return this.last;
  }

  private profileBy(
    { band, masks }: PictureSetting,
    scale: PictureScale,
    isQuick: boolean,
  ): PictureProfile {
    if (!isQuick) return profileOfPicture(this.picture, { scale, band, masks });
    const { picture, factor } = this.quickly();
    if (factor === 1) return profileOfPicture(picture, { scale, band, masks });
    const small = ({ x, y }: PicturePoint) => ({
      x: (x + 0.5) / factor - 0.5,
      y: (y + 0.5) / factor - 0.5,
    });
    const strip = { from: small(band.from), to: small(band.to), width: band.width / factor };
    const boxes = masks.map(({ from, to }) => ({ from: small(from), to: small(to) }));
    return profileOfPicture(picture, {
      ...{ band: strip, masks: boxes },
      scale: { ...scale, matrix: ofSmaller(scale.matrix, factor) },
    });
  }

  /** The picture made smaller, once. */
  private quickly() {
    if (!this.small) {
      const most = Math.max(this.width, this.height);
      const factor = Math.max(1, Math.ceil(most / quickSize));
      const { picture } = this;
      this.small =
        factor === 1
          ? { picture, factor }
          : { picture: rowsOf(smallPixels(picture, { most: quickSize })), factor };
    }
    return this.small;
  }
}

function placeOrPixels(
  band: PictureBand,
  scale: PictureScale | undefined,
  point: PicturePoint,
): number {
  return scale ? placeOf(band, scale, point) : alongBand(band, point);
}

/** A measured value where an uncertainty is typed, else the plain number. */
const measurable = ({ value, u }: Typed) => (u > 0 ? measured(value, u) : value);

function byHandOf(
  { wavelength, distance, kind }: PictureSetting,
  scale: PictureScale | undefined,
  places: readonly number[],
  orders: readonly number[],
): Pick<PictureOutcome, 'byHand' | 'byHandFault'> {
  const wanting = [
    places.length < 3 &&
      `${['three', 'two more', 'one more'][places.length]} ${kind === 'minima' ? 'dark' : 'bright'} ${places.length === 2 ? 'place' : 'places'}`,
    !scale && 'the scale',
    !(wavelength.value > 0) && 'the wavelength',
    !(distance.value > 0) && 'the distance to the screen',
  ].filter((one) => one !== false);
  if (wanting.length > 0 || !scale) {
    return { byHandFault: places.length === 0 ? '' : `Still needed: ${wanting.join(', ')}.` };
  }
  try {
    const byHand = lengthFromOrders({
      ...{ orders, places, uScale: scale.u },
      wavelength: measurable(wavelength),
      focalLength: measurable(distance),
    });
    return { byHand, byHandFault: '' };
  } catch (error) {
    return { byHandFault: (error as Error).message };
  }
}

/** A matrix for pixels that are `factor` times as large. */
function ofSmaller(matrix: readonly number[], factor: number): number[] {
  const shift = (factor - 1) / 2;
  return [0, 3, 6].flatMap((row) => {
    const [a, b, c] = matrix.slice(row, row + 3);
    return [a * factor, b * factor, (a + b) * shift + c];
  });
}

/** Pixels as rows. */
function rowsOf({
  width,
  height,
  channels,
  data,
}: {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3;
  readonly data: Uint8Array;
}): PictureRows {
  const size = width * channels;
  return {
    ...{ kind: 'PNG', width, height, channels, full: 255, orientation: 1 },
    each(take) {
      for (let y = 0; y < height; y++) take(data.subarray(y * size, (y + 1) * size), y);
    },
  };
}

/** The picture decoded once. */
function inMemory(picture: PictureRows): PictureRows {
  const { width, height, channels, full } = picture;
  const size = width * channels;
  const data = new (full > 255 ? Uint16Array : Uint8Array)(size * height);
  picture.each((row, y) => data.set(row, y * size));
  return {
    ...picture,
    each(take) {
      for (let y = 0; y < height; y++) take(data.subarray(y * size, (y + 1) * size), y);
    },
  };
}

/** Where a place of the profile is seen, for a pointer on the curve: pixels along the band. */
export function pixelsAlong(
  band: PictureBand,
  scale: PictureScale | undefined,
  place: number,
): number {
  if (!scale) return place;
  const length = Math.hypot(band.to.x - band.from.x, band.to.y - band.from.y);
  const start = onPlane(scale.matrix, band.from);
  const at = (t: number) => {
    const part = t / length;
    const point = onPlane(scale.matrix, {
      x: band.from.x + part * (band.to.x - band.from.x),
      y: band.from.y + part * (band.to.y - band.from.y),
    });
    return Math.hypot(point.x - start.x, point.y - start.y);
  };
  let [low, high] = [0, length];
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2;
    if (at(middle) < place) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
