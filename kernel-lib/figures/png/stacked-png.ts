import { axisTitle } from '../chart';
import { burntStretches, type StripRow } from '../strip-row';
import { scaleOf } from '../svg/scale';
import { encodePng } from './encode-png';
import { lettering } from './lettering';
import { type Colour, layRow, raster, stroke, write } from './raster';

const film: Colour = [11, 11, 12];
const light: Colour = [216, 211, 197];
const burnt: Colour = [217, 130, 43];
const gap = 5;

/** Strips under each other on black film, each with its label at the left, a line above what is burnt out, and one axis below: a PNG without a browser. */
export function stackedPng(
  rows: readonly StripRow[],
  labels: readonly string[],
  height: number,
): Uint8Array {
  const count = rows[0].places.length;
  const size = Math.round(Math.min(40, Math.max(9, count / 75)));
  const left = Math.ceil(Math.max(...labels.map((l) => lettering(l, size).width)) + size * 2);
  const bottom = gap * 2 + rows.length * (height + gap);
  const picture = raster(left + count + size, bottom + Math.ceil(size * 4.4), film);
  rows.forEach((row, n) => {
    const top = gap * 2 + n * (height + gap);
    layRow(picture, row.pixels, left, top, height);
    for (const [from, to] of burntStretches(row)) {
      const line = Array.from({ length: 3 * (to - from) }, (_, i) => burnt[i % 3]);
      layRow(picture, line, left + from, top - 3, 2);
    }
    write(picture, labels[n], size, top + (height + size) / 2, {
      size,
      colour: light,
      anchor: 'start',
    });
  });
  const scale = scaleOf(rows[0].axis, rows[0].ends, left, left + count, size * 6);
  const style = { size: size * 0.85, colour: light, anchor: 'middle' as const };
  for (const { at, label } of scale.ticks) {
    const x = Math.floor(scale.at(at)) + 0.5;
    stroke(
      picture,
      [
        [
          [x, bottom],
          [x, bottom + size * 0.4],
        ],
      ],
      light,
      1.2,
    );
    write(picture, label, x, bottom + size * 1.7, style);
  }
  write(picture, axisTitle(rows[0].axis), left + count / 2, bottom + size * 3.5, style);
  return encodePng({ ...picture, channels: 3 });
}
