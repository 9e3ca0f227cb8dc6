import type { FilmStrip } from '../camera/film';
import { once } from '../numerics/once';
import { formatNumber } from '../quantity/format-number';
import type { HoverMark, ImageMark } from './chart';
import { pngAddress } from './png/base64';
import { encodePng } from './png/encode-png';
import type { StripRow } from './strip-row';

/** The strip as a picture between the heights `low` and `high` of a panel, and what the pointer tells on it. */
export function stripMarks(
  strip: FilmStrip,
  row: StripRow,
  [low, high]: readonly [number, number],
): [ImageMark, HoverMark] {
  const { pixels, places, ends, axis } = row;
  const source = once(() =>
    pngAddress(encodePng({ width: places.length, height: 1, data: pixels, channels: 3 })),
  );
  const every = Math.max(1, Math.ceil(places.length / 200));
  const chosen = places.map((_, i) => i).filter((i) => i % every === 0);
  return [
    {
      type: 'image',
      get source() {
        return source();
      },
      x: ends,
      y: [low, high],
    },
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
