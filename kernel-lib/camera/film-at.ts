import type { Aperture } from '../aperture/aperture';
import { runs } from '../aperture/runs';
import type { Light } from '../light/light';
import { blurBoxes, sineAt } from './film-geometry';
import { prepare } from './prepared-light';
import { type FilmStripOptions, stripOptions } from './strip-options';
import { relativePattern } from './white-pattern';

/**
 * X, Y, Z at single places on the film, as `filmStrip` has them along the whole.
 *
 * @param positions places, m, ascending; 0 is the image of the source slit
 * @param options geometry, source slit and blur as of `filmStrip`; what concerns the picture alone is not used
 * @returns X, Y, Z of each place, interleaved, relative to Y = 1 at s = 0
 * @throws RangeError, TypeError as `filmStrip`
 * @example filmAt(slits(2, { width: 40e-6, spacing: 100e-6 }), sunlight(), Float64Array.of(0))[1] // 1
 */
export function filmAt(
  aperture: Aperture,
  light: Light,
  positions: Float64Array,
  options: FilmStripOptions = {},
): Float64Array {
  runs(aperture); // Refuses an unsound aperture before its widths are read.
  const checked = stripOptions(aperture, options);
  const s = positions.map((x) => sineAt(x, checked.focalLength, checked.incidence));
  const { colour } = prepare(light);
  // At a dark fringe the table's last digit may fall below 0.
  return relativePattern(aperture, colour, s, blurBoxes(checked, aperture)).map((value) =>
    Math.max(0, value),
  );
}
