import { requireFinite } from '../numerics/require';
import { power, powerAhead, requireWavelength } from './amplitude';
import type { Aperture } from './aperture';
import { period } from './period';
import { runs } from './runs';
import { soundAperture } from './slits';

/**
 * Orders m > 0 that are missing because every slit is dark there: m λ/d = k λ/a with k whole, that is
 * m = k d/a. Order −m is missing with m.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param largest largest direction sine looked at; 1 unless told
 * @returns ascending orders; none for one slit, or where d/a never gives a whole number
 * @throws RangeError, TypeError as `intensity`
 * @example missingOrders(slits(2, { width: 2e-6, spacing: 6e-6 }), 500e-9) // [3, 6, 9, 12]
 */
export function missingOrders(aperture: Aperture, wavelength: number, largest = 1): number[] {
  const list = runs(aperture);
  const spacing = period(soundAperture(aperture).slits);
  requireFinite('The largest s', largest, 'give a direction sine, 1 unless told');
  const highest = (largest * spacing) / requireWavelength(wavelength);
  const dark = 1e-18 * powerAhead(list);
  const missing: number[] = [];
  for (let m = 1; m <= highest * (1 + 1e-15); m++) {
    if (power(list, m / spacing) < dark) missing.push(m);
  }
  return missing;
}
