import type { FilmStrip } from '../camera/film';
import { type AlongOptions, alongAxis } from './along';
import type { Axis } from './chart';
import { checkEnough } from './check-numbers';

/** A film strip laid along an axis: its pixels, evenly spaced, and where they stand. */
export interface StripRow {
  readonly axis: Axis;
  /** Place of every position of the strip on the axis. */
  readonly places: readonly number[];
  /** Outer edges of the first and the last pixel. */
  readonly ends: readonly [number, number];
  /** R, G, B of each pixel from left to right. */
  readonly pixels: Uint8ClampedArray;
  /** 1 for each pixel that is burnt out, 0 elsewhere. */
  readonly burntOut: Uint8Array;
}

export type StripAlong = Pick<AlongOptions, 'along' | 'incidence'>;

/** Lays a strip along `film` (mm, the default), `sine`, `degrees` or `milliradians`. */
export function stripRow(strip: FilmStrip, { along = 'film', incidence }: StripAlong): StripRow {
  if (!(strip?.positions instanceof Float64Array && strip.srgb instanceof Uint8ClampedArray)) {
    throw new TypeError(
      'This is not a film strip. Pass what filmStrip(aperture, light, …) returns.',
    );
  }
  checkEnough('A film strip', strip.positions, 2);
  const film = along === 'film';
  const { axis, at } = alongAxis({ along, incidence, focalLength: 1 });
  const places = film ? Array.from(strip.positions, (x) => x * 1e3) : Array.from(strip.s, at);
  const count = places.length;
  const step = (places[count - 1] - places[0]) / (count - 1);
  const ends = [places[0] - step / 2, places[count - 1] + step / 2] as const;
  const pixels = new Uint8ClampedArray(count * 3);
  const burntOut = new Uint8Array(count);
  // The strip is even along the film; along an angle the nearest position is taken.
  for (let i = 0, k = 0; i < count; i++) {
    const place = places[0] + i * step;
    while (k + 1 < count && Math.abs(places[k + 1] - place) <= Math.abs(places[k] - place)) k++;
    pixels.set(strip.srgb.subarray(3 * k, 3 * k + 3), 3 * i);
    burntOut[i] = strip.burntOut[k];
  }
  return { axis, places, ends, pixels, burntOut };
}

/** Stretches that are burnt out, each from its first pixel to the one after its last. */
export function burntStretches({ burntOut }: StripRow): [from: number, to: number][] {
  const stretches: [number, number][] = [];
  for (let from = burntOut.indexOf(1); from >= 0; ) {
    const end = burntOut.indexOf(0, from);
    const to = end < 0 ? burntOut.length : end;
    stretches.push([from, to]);
    from = burntOut.indexOf(1, to);
  }
  return stretches;
}
