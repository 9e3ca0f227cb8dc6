import type { FilmStrip } from '../camera/film';
import { requireWhole } from '../numerics/require';
import { type Figure, figureOf } from './figure';
import { encodePng } from './png/encode-png';
import { layRow, raster } from './png/raster';
import { withCautions } from './shown';
import { stripMarks } from './strip-marks';
import { type StripAlong, stripRow } from './strip-row';

export interface FilmStripPictureOptions extends StripAlong {
  /** Height of the PNG in pixels; its width is the number of positions. Default 46. */
  readonly height?: number;
  readonly title?: string;
}

/**
 * A film strip as a picture: one pixel of the PNG for each position; in the live and the static picture an
 * axis below it, and a line above it wherever it is burnt out.
 *
 * @param strip what `filmStrip` returns
 * @param options `along` film (mm), sine, degrees or milliradians; `height` of the PNG, pixels
 * @returns a Figure with `png`; its sentence ends with the caution of a light that has one
 * @throws TypeError when `strip` is not a film strip; RangeError for a height that is not 1 … 4000
 * @example filmStripPicture(filmStrip(slits(1, { width: 40e-6 }), illuminant('A'))).kind // 'strip'
 */
export function filmStripPicture(strip: FilmStrip, options: FilmStripPictureOptions = {}): Figure {
  const { height = 46, title } = options;
  requireWhole('The height of the picture in pixels', height, 1, 4000);
  const row = stripRow(strip, options);
  const picture = raster(row.places.length, height, [0, 0, 0]);
  layRow(picture, row.pixels, 0, 0, height);
  const chart = {
    kind: 'strip',
    alt: withCautions(strip.alt, [strip]),
    title,
    x: { ...row.axis, range: row.ends },
    panels: [
      {
        height: 56,
        film: true,
        y: { quantity: 'film strip', unit: 'no scale', hidden: true, range: [0, 1] as const },
        marks: stripMarks(strip, row, [0.12, 0.88]),
      },
    ],
  };
  return figureOf(chart, () => encodePng({ ...picture, channels: 3 }));
}
