import type { FilmStrip } from '../camera/film';
import { once } from '../numerics/once';
import { requireNumbers } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { type AlongOptions, alongAxis } from './along';
import { type Axis, type Layer, look, styleOf } from './chart';
import { encodePng, pngAddress } from './png/encode-png';

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
  requireNumbers('strip.positions', strip.positions, 'record two or more', { least: 2 });
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

/** As many places of a strip are told at the pointer. */
const TOLD = 200;

/**
 * The strip as a picture between the heights `low` and `high` of a panel, a line above it wherever it is
 * burnt out, and what the pointer tells on it.
 */
export function stripLayers(
  strip: FilmStrip,
  row: StripRow,
  [low, high]: readonly [number, number],
): Layer[] {
  const { pixels, places, ends, axis } = row;
  const source = once(() =>
    pngAddress(encodePng({ width: places.length, height: 1, data: pixels, channels: 3 })),
  );
  const chosen = brightest(strip);
  return [
    {
      type: 'image',
      get source() {
        return source();
      },
      x: ends,
      y: [low, high],
    },
    ...burntLayer(row, high + 0.07 * (high - low)),
    {
      type: 'hover',
      x: chosen.map((i) => places[i]),
      y: chosen.map(() => (low + high) / 2),
      get text() {
        return chosen.map(
          (i) =>
            `${formatNumber(places[i])} ${axis.unit}; total ${formatNumber(strip.total[i], 3)}`,
        );
      },
    },
  ];
}

/** The brightest position of each short stretch, so that no narrow line is passed over. */
function brightest({ xyz }: FilmStrip): number[] {
  const count = xyz.length / 3;
  const every = Math.max(1, Math.ceil(count / TOLD));
  const chosen: number[] = [];
  for (let from = 0; from < count; from += every) {
    let best = from;
    for (let i = from + 1; i < Math.min(count, from + every); i++)
      if (xyz[3 * i + 1] > xyz[3 * best + 1]) best = i;
    chosen.push(best);
  }
  return chosen;
}

function burntLayer(row: StripRow, height: number): Layer[] {
  const stretches = burntStretches(row);
  if (stretches.length === 0) return [];
  const [left, right] = row.ends;
  const at = (pixel: number) => left + (pixel / row.burntOut.length) * (right - left);
  return [
    {
      type: 'strokes',
      name: 'burnt out',
      strokes: stretches.map(([from, to]) => [at(from), height, at(to), height]),
      style: { ...styleOf(0), dash: 'solid', colour: look.burnt, width: 2 },
    },
  ];
}
