import { requireFinite, requirePositive, requireWhole } from '../numerics/require';

const spacingMend = 'give the distance of neighbouring lines in metres, such as 1e-3 / 600';
const wavelengthMend = 'give it in metres, such as nm(589.3), in the medium around the grating';

/**
 * Direction of order m behind a grating.
 *
 *   sin θ = sin θi + m λ / d
 *
 * θ and θi are measured from the normal, on the same side of it where they have the same sign, so order 0 goes
 * straight on: θ = θi.
 *
 * @param order m, a whole number of either sign
 * @param wavelength λ, m, in the medium around the grating (air in air)
 * @param spacing d, m
 * @param incidence θi, rad, default 0
 * @returns θ, rad
 * @throws RangeError when |sin θi + m λ / d| > 1: that order does not exist
 * @see OpenStax University Physics Volume 3, section 4.4, for normal incidence
 * @example gratingAngle(1, 380e-9, 1e-6) // 0.3898: 22.33°
 */
export function gratingAngle(
  order: number,
  wavelength: number,
  spacing: number,
  incidence = 0,
): number {
  const s = sineOfOrder(order, wavelength, spacing);
  const sine = checkIncidence(incidence) + s;
  if (Math.abs(sine) > 1) {
    const { lowest, highest } = gratingOrders(wavelength, spacing, incidence);
    throw new RangeError(
      `Order ${order} does not exist: sin θ would be ${sine.toFixed(3)}. With this wavelength and spacing the orders run from ${lowest} to ${highest}.`,
    );
  }
  return Math.asin(sine);
}

/**
 * Wavelength from the direction of an order.
 *
 *   λ = d (sin θ − sin θi) / m
 *
 * @param order m, a whole number other than 0
 * @param spacing d, m
 * @param angle θ, rad, from the normal
 * @param incidence θi, rad, from the normal, default 0
 * @returns λ, m, in the medium around the grating: in air, unless the grating stands in vacuum
 * @throws RangeError for order 0, which every wavelength shares, or when order and angle have opposite signs
 * @example gratingWavelength(1, 1e-6, 0.38977) // 380.0e-9
 */
export function gratingWavelength(
  order: number,
  spacing: number,
  angle: number,
  incidence = 0,
): number {
  requirePositive('The spacing', spacing, spacingMend);
  checkOrder(order);
  if (order === 0) {
    throw new RangeError('In order 0 every wavelength goes straight on: take another order.');
  }
  const wavelength = (spacing * (checkAngle(angle) - checkIncidence(incidence))) / order;
  if (!(wavelength > 0)) {
    throw new RangeError(
      `Order ${order} at θ = ${angle} rad and θi = ${incidence} rad would need the wavelength ${wavelength} m: give order and angle the same sign, both from the normal.`,
    );
  }
  return wavelength;
}

/**
 * Spacing from the direction of an order of a known wavelength.
 *
 *   d = m λ / (sin θ − sin θi)
 *
 * @param order m, a whole number other than 0
 * @param wavelength λ, m, in the medium around the grating
 * @param angle θ, rad
 * @param incidence θi, rad, default 0
 * @returns d, m
 * @throws RangeError for order 0, or when order and angle have opposite signs
 * @example gratingSpacing(2, 589.3e-9, 0.7855) // 1.667e-6
 */
export function gratingSpacing(
  order: number,
  wavelength: number,
  angle: number,
  incidence = 0,
): number {
  requirePositive('The wavelength', wavelength, wavelengthMend);
  checkOrder(order);
  const s = checkAngle(angle) - checkIncidence(incidence);
  const spacing = (order * wavelength) / s;
  if (order === 0 || !(spacing > 0) || !Number.isFinite(spacing)) {
    throw new RangeError(
      `Order ${order} at sin θ − sin θi = ${s} gives no spacing: take an order other than 0 and give it the sign of the angle.`,
    );
  }
  return spacing;
}

/** Lowest and highest order that exist for a wavelength, both included. */
export interface Orders {
  readonly lowest: number;
  readonly highest: number;
}

/**
 * The orders that exist: all m with |sin θi + m λ / d| ≤ 1.
 *
 * @param wavelength λ, m
 * @param spacing d, m
 * @param incidence θi, rad, default 0
 * @returns lowest (0 or negative) and highest (0 or positive) order
 * @see OpenStax University Physics Volume 3, example 3.2: highest order 15
 * @example gratingOrders(633e-9, 10e-6) // { lowest: -15, highest: 15 }
 */
export function gratingOrders(wavelength: number, spacing: number, incidence = 0): Orders {
  const step = sineOfOrder(1, wavelength, spacing);
  const sine = checkIncidence(incidence);
  // A hair of tolerance keeps an order that leaves exactly along the grating.
  const highest = Math.floor((1 - sine) / step + 1e-12);
  const lowest = -Math.floor((1 + sine) / step + 1e-12);
  return { lowest: lowest === 0 ? 0 : lowest, highest };
}

function sineOfOrder(order: number, wavelength: number, spacing: number): number {
  requirePositive('The wavelength', wavelength, wavelengthMend);
  requirePositive('The spacing', spacing, spacingMend);
  return (checkOrder(order) * wavelength) / spacing;
}

const checkOrder = (order: number) => requireWhole('The order', order, -Infinity, Infinity);

const checkAngle = (angle: number) => Math.sin(checkedAngle('θ', angle));
const checkIncidence = (angle: number) => Math.sin(checkedAngle('The angle of incidence', angle));

function checkedAngle(name: string, angle: number): number {
  requireFinite(name, angle, 'give it in radians, such as degrees(12, 34)');
  if (Math.abs(angle) > Math.PI / 2) {
    throw new RangeError(
      `${name} is ${angle} rad, more than 90° from the normal: give radians, such as degrees(12, 34).`,
    );
  }
  return angle;
}

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
  checkOrder(order);
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
