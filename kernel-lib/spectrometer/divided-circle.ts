import type { Random } from '../numerics/random';
import { requireFinite, requireNotNegative, requireNumbers } from '../numerics/require';
import { wrapAngle, wrapAngleSigned } from '../quantity/angle';
import { gratingAngle } from './grating';

/** A divided circle read by two verniers half a turn apart. All angles in rad. */
export interface DividedCircle {
  /** Smallest step that is read. */
  readonly leastCount: number;
  /** Reading of the first vernier when the telescope looks straight at the slit. */
  readonly zero: number;
  /** Largest error that the circle's offset centre makes: offset divided by the circle's radius. */
  readonly eccentricity: number;
  /** Direction of that offset on the circle. */
  readonly offsetDirection: number;
}

/** One setting of the telescope, read at both verniers, rad, 0 … 2π. */
export interface VernierPair {
  readonly first: number;
  readonly second: number;
}

/**
 * A divided circle, with what is left out set to an ideal one of least count 1′.
 *
 * @param parts any of leastCount, zero, eccentricity, offsetDirection, rad
 * @throws RangeError for a least count that is not positive, or an eccentricity beyond 1°
 * @example dividedCircle({ zero: 0.1 }).leastCount // 2.909e-4: 1′
 */
export function dividedCircle(parts: Partial<DividedCircle> = {}): DividedCircle {
  const circle = {
    leastCount: Math.PI / 10800,
    zero: 0,
    eccentricity: 0,
    offsetDirection: 0,
    ...parts,
  };
  for (const name of Object.keys(circle) as (keyof DividedCircle)[]) {
    requireFinite(name, circle[name], 'give an angle in radians');
  }
  if (!(circle.leastCount > 0 && circle.leastCount < 0.1)) {
    throw new RangeError(
      `The least count is ${circle.leastCount} rad: give a small positive angle, such as arcminutes(1).`,
    );
  }
  if (Math.abs(circle.eccentricity) > Math.PI / 180) {
    throw new RangeError(
      `The eccentricity is ${circle.eccentricity} rad: beyond 1° no circle is usable. Give radians, such as arcminutes(2).`,
    );
  }
  return circle;
}

/**
 * What both verniers show when the telescope stands at an angle from the straight direction.
 *
 *   first = α + z + ε sin(α + z − φ),  second = α + z + π − ε sin(α + z − φ), each to the least count
 *
 * @param circle z: zero, ε: eccentricity, φ: direction of the offset
 * @param angle α, rad, from the straight direction
 * @returns both readings, rad, 0 … 2π
 * @throws TypeError when the angle is not a finite number
 * @see common practice, no source: first order in the offset of the centre
 * @example readCircle(dividedCircle(), 0.5).first // 0.50004: 28° 39′
 */
export function readCircle(circle: DividedCircle, angle: number): VernierPair {
  const { zero, eccentricity, offsetDirection, leastCount } = circle;
  const whole = angle + zero;
  const error = eccentricity * Math.sin(whole - offsetDirection);
  const read = (value: number) => wrapAngle(Math.round(wrapAngle(value) / leastCount) * leastCount);
  return { first: read(whole + error), second: read(whole + Math.PI - error) };
}

/**
 * The direction without the error of an eccentric circle: the mean of two opposite verniers.
 *
 *   first + (second − first − 180°)/2, the difference taken the short way round
 *
 * @param pair both readings, rad
 * @returns direction on the first vernier's count, rad, 0 … 2π
 * @throws RangeError when the readings are not about half a turn apart
 * @example withoutEccentricity({ first: 0.1, second: 0.1 + Math.PI + 0.002 }) // 0.101
 */
export function withoutEccentricity(pair: VernierPair): number {
  return wrapAngle(pair.first + halfDifference(pair));
}

/**
 * The error of eccentricity at a setting: half of what the second vernier differs from the first plus 180°.
 *
 * @returns rad, signed; the true direction is first + this
 * @throws RangeError when the readings are not about half a turn apart
 * @example eccentricityError({ first: 0.1, second: 0.1 + Math.PI + 0.002 }) // 0.001
 */
export function eccentricityError(pair: VernierPair): number {
  return halfDifference(pair);
}

function halfDifference({ first, second }: VernierPair): number {
  const half = wrapAngleSigned(second - first - Math.PI) / 2;
  if (Math.abs(half) > Math.PI / 90) {
    throw new RangeError(
      `The two verniers read ${first} and ${second} rad: they should differ by π (180°) to within 4°. Check which reading belongs to which vernier.`,
    );
  }
  return half;
}

/**
 * Angle of an order from its readings on the left and on the right: half of their difference, so that the zero of
 * the circle drops out.
 *
 *   θ = ½ (left − right), the short way round
 *
 * @param left direction on one side, rad
 * @param right direction on the other side, rad
 * @returns θ, rad, 0 … π/2
 * @throws TypeError when one is not a finite number
 * @see common practice, no source; right to first order in the tilt of the grating (`gratingAngle` has the rest)
 * @example halfAngle(0.3, 2 * Math.PI - 0.1) // 0.2
 */
export function halfAngle(left: number, right: number): number {
  return Math.abs(wrapAngleSigned(left - right)) / 2;
}

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

/** Mean of readings with its standard uncertainty, rad. `value` and `u` go into `measured(value, u)`. */
export interface MeanReading {
  readonly value: number;
  /** Standard uncertainty of the mean: scatter and least count together. */
  readonly u: number;
  /** Experimental standard deviation of one reading. */
  readonly spread: number;
  readonly count: number;
}

/**
 * Mean and spread of repeated readings of one direction, safe across 0°/360°.
 *
 *   s² = Σ (xᵢ − x̄)² / (n − 1),  u² = s²/n + (least count)²/12
 *
 * The least count's share is not divided by n: readings that do not scatter are all rounded the same way.
 *
 * @param readings rad, at least one, all within half a turn of the first
 * @param leastCount rad, default 0: no share
 * @returns mean (0 … 2π), u, spread, count
 * @throws RangeError when there is no reading, or the least count is negative
 * @throws TypeError when a reading is not a finite number
 * @see JCGM 100:2008, 4.2.2, 4.2.3 and F.2.2.1 (cited from memory)
 * @example meanReading([0.1, 0.1002, 0.0998]).spread // 2e-4
 */
export function meanReading(readings: readonly number[], leastCount = 0): MeanReading {
  requireNumbers('readings', readings, 'give at least one angle in radians', { least: 1 });
  requireNotNegative('The least count', leastCount, 'give an angle in radians, or leave it out');
  const from = readings.map((reading) => wrapAngleSigned(reading - readings[0]));
  const count = readings.length;
  const mean = from.reduce((sum, value) => sum + value, 0) / count;
  const squares = from.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const spread = count > 1 ? Math.sqrt(squares / (count - 1)) : 0;
  return {
    value: wrapAngle(readings[0] + mean),
    u: Math.hypot(spread / Math.sqrt(count), leastCount / Math.sqrt(12)),
    spread,
    count,
  };
}
