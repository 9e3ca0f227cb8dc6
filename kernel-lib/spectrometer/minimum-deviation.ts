import { requireFinite, requirePositive } from '../numerics/require';
import { gratingAngle } from './grating';

/** The position of a grating in which an order is turned aside least. */
export interface MinimumDeviation {
  /** D, rad, with the sign of the order. */
  readonly deviation: number;
  /** θi, rad: −D/2. */
  readonly incidence: number;
  /** θ, rad: D/2. */
  readonly angle: number;
}

/**
 * Deviation of order m: the angle by which the grating turns the beam.
 *
 *   D = θ − θi,  sin θ = sin θi + m λ / d
 *
 * @param order m, whole
 * @param wavelength λ, m
 * @param spacing d, m
 * @param incidence θi, rad, default 0
 * @returns D, rad, with the sign of the order
 * @throws RangeError when that order does not exist
 * @example gratingDeviation(1, 600e-9, 1e-6) // 0.6435: 36.87°
 */
export function gratingDeviation(
  order: number,
  wavelength: number,
  spacing: number,
  incidence = 0,
): number {
  return gratingAngle(order, wavelength, spacing, incidence) - incidence;
}

/**
 * Minimum deviation of a grating: beam and order leave the normal by the same angle on opposite sides.
 *
 *   m λ = 2 d sin(D/2),  θ = −θi = D/2
 *
 * @param order m, whole
 * @param wavelength λ, m
 * @param spacing d, m
 * @returns deviation, incidence and angle, rad
 * @throws RangeError when |m λ / 2d| > 1: that order does not exist at any incidence
 * @see common practice, no source: dD/dθi = 0 in sin θ = sin θi + m λ/d gives cos θ = cos θi
 * @example minimumDeviation(1, 600e-9, 1e-6).deviation // 0.6094: 34.92°
 */
export function minimumDeviation(
  order: number,
  wavelength: number,
  spacing: number,
): MinimumDeviation {
  requirePositive('The wavelength', wavelength, 'give it in metres, such as nm(589.3)');
  requirePositive('The spacing', spacing, 'give it in metres');
  if (!Number.isInteger(order)) {
    throw new RangeError(`The order is ${order}: give a whole number, such as 1 or −2.`);
  }
  const sine = (order * wavelength) / (2 * spacing);
  if (Math.abs(sine) > 1) {
    throw new RangeError(
      `Order ${order} does not exist at any incidence: m λ / 2d is ${sine.toFixed(3)}, beyond 1. Take a lower order.`,
    );
  }
  const half = Math.asin(sine);
  return { deviation: 2 * half, incidence: half === 0 ? 0 : -half, angle: half };
}

/**
 * Wavelength from a minimum deviation: λ = 2 d sin(D/2) / m.
 *
 * @param order m, whole, not 0
 * @param spacing d, m
 * @param deviation D, rad, with the sign of the order
 * @returns λ, m, in the medium around the grating
 * @throws RangeError for order 0 or a deviation of the other sign
 * @example wavelengthFromMinimumDeviation(1, 1e-6, 0.6094) // 600.0e-9
 */
export function wavelengthFromMinimumDeviation(
  order: number,
  spacing: number,
  deviation: number,
): number {
  requirePositive('The spacing', spacing, 'give it in metres');
  requireFinite('The deviation', deviation, 'give it in radians');
  const wavelength = (2 * spacing * Math.sin(deviation / 2)) / order;
  if (!Number.isInteger(order) || !(wavelength > 0) || !Number.isFinite(wavelength)) {
    throw new RangeError(
      `Order ${order} with a deviation of ${deviation} rad gives no wavelength: take a whole order other than 0 and give it the sign of the deviation.`,
    );
  }
  return wavelength;
}
