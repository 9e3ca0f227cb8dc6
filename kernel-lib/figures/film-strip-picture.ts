import type { FilmStrip } from '../camera/film';
import { requireWhole } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { type LineLayer, styleOf, thin } from './chart';
import { type Figure, figureOf } from './figure';
import { logFloor } from './pattern-plot';
import { encodePng } from './png/encode-png';
import { layRow, raster } from './png/raster';
import { withCautions } from './shown';
import { type StripAlong, stripLayers, stripRow } from './strip-row';

interface FilmStripPictureOptions extends StripAlong {
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
        layers: stripLayers(strip, row, [0.12, 0.88]),
      },
    ],
  };
  return figureOf(chart, () => encodePng({ ...picture, channels: 3 }));
}

interface StripFigureOptions extends StripAlong {
  readonly title?: string;
  /** Logarithmic power, which shows weak subsidiary spectra: four decades, or as many as said. */
  readonly log?: boolean | number;
}

/**
 * A film strip under the curve of its power, both on one axis.
 *
 * @param strip what `filmStrip` returns
 * @param options `along` film (mm), sine, degrees or milliradians; `log` for weak spectra
 * @returns a Figure
 * @throws TypeError when `strip` is not a film strip
 * @example stripFigure(filmStrip(slits(2, { width: 40e-6, spacing: 100e-6 }), illuminant('A'))).kind // 'strip-and-curve'
 */
export function stripFigure(strip: FilmStrip, options: StripFigureOptions = {}): Figure {
  const row = stripRow(strip, options);
  const curve: LineLayer = { type: 'line', ...thin(row.places, strip.total), style: styleOf(0) };
  const highest = curve.y.reduce((a, b) => Math.max(a, b));
  const floor = logFloor(options.log, highest > 0 ? highest : 1);
  const range = floor === undefined ? [0, highest * 1.06 || 1] : [floor, highest * 1.6];
  const y = { quantity: 'power P / P₀, all wavelengths', unit: 'ratio', log: floor !== undefined };
  return figureOf({
    kind: 'strip-and-curve',
    alt: `${strip.alt.replace(/\.\s*$/, '')}; above it the power of all wavelengths, highest ${formatNumber(highest, 3)}, lowest ${formatNumber(Math.min(...curve.y), 3)} of the power at the centre.`,
    title: options.title,
    x: { ...row.axis, range: row.ends },
    panels: [
      { height: 190, y: { ...y, range: [range[0], range[1]] }, layers: [curve] },
      {
        height: 52,
        film: true,
        y: { quantity: 'film strip', unit: 'no scale', hidden: true, range: [0, 1] },
        layers: stripLayers(strip, row, [0.12, 0.88]),
      },
    ],
  });
}
