import type { FilmStrip } from '../camera/film';
import { once } from '../numerics/once';
import { formatNumber } from '../quantity/format-number';
import type { Mark } from './chart';
import { look, styleOf } from './look';
import { pngAddress } from './png/base64';
import { encodePng } from './png/encode-png';
import { burntStretches, type StripRow } from './strip-row';

/** As many places of a strip are told at the pointer. */
const TOLD = 200;

/**
 * The strip as a picture between the heights `low` and `high` of a panel, a line above it wherever it is
 * burnt out, and what the pointer tells on it.
 */
export function stripMarks(
  strip: FilmStrip,
  row: StripRow,
  [low, high]: readonly [number, number],
): Mark[] {
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
    ...burntMark(row, high + 0.07 * (high - low)),
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

function burntMark(row: StripRow, height: number): Mark[] {
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
