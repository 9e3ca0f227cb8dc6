import type { FilmStrip } from '../camera/film';
import { formatNumber } from '../quantity/format-number';
import type { LineMark } from './chart';
import { type Figure, figureOf } from './figure';
import { styleOf } from './look';
import { logFloor } from './pattern-plot';
import { stripMarks } from './strip-marks';
import { type StripAlong, stripRow } from './strip-row';
import { thin } from './thin';

export interface StripFigureOptions extends StripAlong {
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
  const curve: LineMark = { type: 'line', ...thin(row.places, strip.total), style: styleOf(0) };
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
      { height: 190, y: { ...y, range: [range[0], range[1]] }, marks: [curve] },
      {
        height: 52,
        film: true,
        y: { quantity: 'film strip', unit: 'no scale', hidden: true, range: [0, 1] },
        marks: stripMarks(strip, row, [0.12, 0.88]),
      },
    ],
  });
}
