import { once } from '../numerics/once';
import type { Chromaticity } from './light';
import { observer } from './observer';

/**
 * The spectral locus where it bends: x, y of each nanometre from 380 to 699 nm. Beyond these ends the
 * colours of the spectrum do not change in the table by more than its own rounding.
 */
export const spectralLocus = once(() => {
  const { wavelengths, x, y, z } = observer();
  const points: { wavelength: number; at: Chromaticity }[] = [];
  for (let i = 0; i < wavelengths.length; i++) {
    const nanometres = Math.round(wavelengths[i] * 1e9);
    if (nanometres < 380 || nanometres > 699) continue;
    const sum = x[i] + y[i] + z[i];
    points.push({ wavelength: wavelengths[i], at: [x[i] / sum, y[i] / sum] });
  }
  return points;
});

/** Where a ray from `from` towards `through` crosses the segment a–b: how far along each, or undefined. */
function crossing(from: Chromaticity, through: Chromaticity, a: Chromaticity, b: Chromaticity) {
  const [dx, dy] = [through[0] - from[0], through[1] - from[1]];
  const [ex, ey] = [b[0] - a[0], b[1] - a[1]];
  const cross = dx * ey - dy * ex;
  if (cross === 0) return undefined;
  const [fx, fy] = [a[0] - from[0], a[1] - from[1]];
  const along = (fx * ey - fy * ex) / cross;
  const between = (fx * dy - fy * dx) / cross;
  return along > 0 && between >= -1e-12 && between <= 1 + 1e-12 ? { along, between } : undefined;
}

/**
 * Where the ray from a white through a colour leaves the region of real colours.
 *
 * @returns `along`: distance to the edge over distance to the colour; `wavelength`, m, when the edge is
 *   the spectral locus, undefined on the line of purples
 */
export function edgeOfColours(
  white: Chromaticity,
  through: Chromaticity,
): { along: number; wavelength?: number } | undefined {
  const locus = spectralLocus();
  for (let i = 1; i < locus.length; i++) {
    const found = crossing(white, through, locus[i - 1].at, locus[i].at);
    if (!found) continue;
    const step = locus[i].wavelength - locus[i - 1].wavelength;
    return { along: found.along, wavelength: locus[i - 1].wavelength + found.between * step };
  }
  const purple = crossing(white, through, locus[locus.length - 1].at, locus[0].at);
  return purple && { along: purple.along };
}
