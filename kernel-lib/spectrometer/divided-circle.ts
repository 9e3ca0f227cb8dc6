import { requireFinite } from '../numerics/require';
import { wrapAngle, wrapAngleSigned } from '../quantity/angle';

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
