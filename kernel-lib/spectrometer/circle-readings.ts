import type { Random } from '../numerics/random';
import { type DividedCircle, dividedCircle, readCircle, type VernierPair } from './divided-circle';
import { gratingAngle } from './grating';

/** What is set up for a series of readings. SI units, rad. */
export interface CircleSetting {
  /** d of the grating, m. */
  readonly spacing: number;
  /** In the air of the laboratory, m. */
  readonly wavelengths: readonly number[];
  /** Such as [-2, -1, 1, 2]. */
  readonly orders: readonly number[];
  /** θi, rad, default 0. */
  readonly incidence?: number;
  /** What is not given is ideal; see `dividedCircle`. */
  readonly circle?: Partial<DividedCircle>;
  /** How often each order is set anew, default 1. */
  readonly repeats?: number;
  /** Standard deviation of one setting of the cross-wires, rad, default 20″. */
  readonly scatter?: number;
}

/** All settings on one order of one wavelength. */
export interface OrderReadings {
  readonly wavelength: number;
  readonly order: number;
  readonly readings: readonly VernierPair[];
}

/**
 * Readings of a spectrometer as one student would write them down, drawn from a seeded stream.
 *
 * Noise: every setting of the cross-wires is off by a normal deviate of standard deviation `scatter`, the same for
 * both verniers; then the eccentricity acts, and each vernier is rounded to the least count. Nothing else is random.
 * Settings run through the wavelengths, in each through the orders, in each through the repeats.
 *
 * @param random stream, such as `seeded(draw.seed('readings'))`
 * @param setting grating, wavelengths (in air), orders, circle, scatter
 * @returns for each wavelength and order, its readings, rad; the telescope angle is θ − θi from the straight direction
 * @throws RangeError when an order does not exist
 * @example circleReadings(seeded(1), { spacing: 1.667e-6, wavelengths: [589.3e-9], orders: [-1, 1] }).length // 2
 */
export function circleReadings(random: Random, setting: CircleSetting): OrderReadings[] {
  const { spacing, wavelengths, orders, incidence = 0, repeats = 1 } = setting;
  const circle = dividedCircle(setting.circle);
  const scatter = setting.scatter ?? Math.PI / 32400;
  if (!(scatter >= 0)) {
    throw new RangeError(`The scatter is ${scatter} rad: give a standard deviation, 0 or more.`);
  }
  if (!Number.isInteger(repeats) || repeats < 1) {
    throw new RangeError(`repeats is ${repeats}: each order is set at least once, a whole number.`);
  }
  return wavelengths.flatMap((wavelength) =>
    orders.map((order) => {
      const angle = gratingAngle(order, wavelength, spacing, incidence) - incidence;
      const readings = Array.from({ length: repeats }, () =>
        readCircle(circle, angle + scatter * random.normal()),
      );
      return { wavelength, order, readings };
    }),
  );
}
