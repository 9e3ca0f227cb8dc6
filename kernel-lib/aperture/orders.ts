import { median } from '../numerics/median';
import { requireFinite, requirePositive, requireWhole } from '../numerics/require';
import { power, powerAhead, requireWavelength } from './amplitude';
import { type Aperture, type Slit, soundAperture } from './aperture';
import { diffractionAngle } from './direction';
import { runs } from './runs';

/**
 * Resolving power of N slits in order m: the ratio of a wavelength to the smallest difference that two
 * lines may have and still be seen apart by Rayleigh's criterion, one maximum on the other's first zero.
 *
 *   λ/Δλ = |m| N
 *
 * @param order m, a whole number other than 0
 * @param count number of slits N, from 2
 * @returns a pure number
 * @throws RangeError, TypeError for other orders and counts
 * @see common practice, no source
 * @example resolvingPower(2, 500) // 1000
 */
export function resolvingPower(order: number, count: number): number {
  requireWhole('The number of slits', count, 2, Infinity);
  return Math.abs(requireOrder(order)) * count;
}

/**
 * Angular dispersion of a grating: how fast the angle of order m grows with wavelength.
 *
 *   dθ/dλ = m / (d cos θ),  sin θ = m λ/d + sin θi
 *
 * @param order m, a whole number other than 0
 * @param wavelength λ, m
 * @param spacing d, m
 * @param incidence θi, rad; 0 unless told
 * @returns rad per metre of wavelength, with the sign of m
 * @throws RangeError when the order does not exist, or leaves along the grating, where it has no limit
 * @see common practice, no source
 * @example angularDispersion(1, 500e-9, 1e-6) // 1154700.538379252
 */
export function angularDispersion(
  order: number,
  wavelength: number,
  spacing: number,
  incidence = 0,
): number {
  return order / (spacing * cosOfOrder(requireOrder(order), wavelength, spacing, incidence));
}

/**
 * Half-width of a principal maximum: the angle from its middle to the first zero beside it, to first order.
 *
 *   Δθ = λ / (N d cos θ),  sin θ = m λ/d + sin θi
 *
 * In direction sines it is λ/(N d) exactly, in every order.
 *
 * @param order m, a whole number; 0 too
 * @param count number of slits N, from 2
 * @param wavelength λ, m
 * @param spacing d, m
 * @param incidence θi, rad; 0 unless told
 * @returns Δθ, rad
 * @throws RangeError when the order does not exist, or leaves along the grating
 * @see common practice, no source
 * @example halfWidth(0, 10, 500e-9, 50e-6) // 0.001
 */
export function halfWidth(
  order: number,
  count: number,
  wavelength: number,
  spacing: number,
  incidence = 0,
): number {
  requireWhole('The number of slits', count, 2, Infinity);
  requireWhole('The order', order, -Infinity, Infinity);
  return wavelength / (count * spacing * cosOfOrder(order, wavelength, spacing, incidence));
}

/**
 * Free spectral range of order m: how much longer than λ a wavelength may be before order m + 1 of λ covers it.
 *
 *   Δλ = λ / |m|,  since |m| (λ + Δλ) = (|m| + 1) λ
 *
 * @param order m, a whole number other than 0
 * @param wavelength shortest wavelength λ of the spectrum, m
 * @returns Δλ, m
 * @throws RangeError, TypeError for order 0, orders not whole, a wavelength not in 0…1 m
 * @see common practice, no source
 * @example freeSpectralRange(2, 400e-9) // 2e-7
 */
export function freeSpectralRange(order: number, wavelength: number): number {
  return requireWavelength(wavelength) / Math.abs(requireOrder(order));
}

/** Wavelengths from … to, m. */
export interface WavelengthRange {
  readonly from: number;
  readonly to: number;
}

/**
 * The part of a spectrum that the next order covers: in order m from (|m| + 1) λ₁/|m| to λ₂, where λ₁ of
 * order |m| + 1 has begun.
 *
 * @param order m, a whole number other than 0
 * @param shortest λ₁, shortest wavelength of the spectrum, m
 * @param longest λ₂, longest, m
 * @returns wavelengths of order m that lie under order |m| + 1, m; undefined where the two do not overlap
 * @throws RangeError, TypeError for order 0, orders not whole, wavelengths not in 0…1 m or not ascending
 * @see common practice, no source
 * @example orderOverlap(2, 380e-9, 760e-9)?.from // 5.7e-7
 */
export function orderOverlap(
  order: number,
  shortest: number,
  longest: number,
): WavelengthRange | undefined {
  const m = Math.abs(requireOrder(order));
  if (requireWavelength(shortest) >= requireWavelength(longest)) {
    throw new RangeError(
      `A spectrum goes from a shorter to a longer wavelength, not from ${shortest} m to ${longest} m: exchange them.`,
    );
  }
  const from = ((m + 1) * shortest) / m;
  return from < longest ? { from, to: longest } : undefined;
}

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

/**
 * The spacing that orders are counted with. Equal gaps give the gap; a blocked slit counts as two gaps;
 * ruling errors are averaged by a straight line through the centres.
 *
 * @param slits in ascending order
 * @returns d, m; 0 for a single slit
 */
export function period(slits: readonly Slit[]): number {
  if (slits.length === 1) return 0;
  const gaps = slits.slice(1).map((slit, i) => slit.centre - slits[i].centre);
  const typical = median(gaps);
  const places = [0];
  for (const gap of gaps) {
    places.push(places[places.length - 1] + Math.max(1, Math.round(gap / typical)));
  }
  const mean = places.reduce((sum, place) => sum + place, 0) / places.length;
  const middle = slits.reduce((sum, slit) => sum + slit.centre, 0) / slits.length;
  let [across, along] = [0, 0];
  places.forEach((place, i) => {
    across += (place - mean) * (slits[i].centre - middle);
    along += (place - mean) ** 2;
  });
  return across / along;
}

/** cos θ of an order that exists. */
function cosOfOrder(order: number, wavelength: number, spacing: number, incidence: number): number {
  requirePositive('The spacing', spacing, 'give it centre to centre in metres, such as 100e-6');
  const s = (order * requireWavelength(wavelength)) / spacing;
  const sine = s + Math.sin(requireFinite('The incidence', incidence, 'give it in radians'));
  if (Math.abs(sine) > 1 + 1e-12) {
    throw new RangeError(
      `Order ${order} does not exist: sin θ = mλ/d + sin θi would be ${sine}. ` +
        'Take a lower order, a shorter wavelength or a wider spacing.',
    );
  }
  const cos = Math.cos(diffractionAngle(s, incidence));
  if (cos > 1e-9) return cos;
  throw new RangeError(
    `Order ${order} leaves along the grating (θ = 90°), where this has no limit: take a lower order.`,
  );
}

function requireOrder(order: number): number {
  requireWhole('The order', order, -Infinity, Infinity);
  if (order !== 0) return order;
  throw new RangeError('The order must not be 0: order 0 is white, it has no spectrum.');
}
