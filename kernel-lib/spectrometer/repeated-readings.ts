import { wrapAngle, wrapAngleSigned } from '../quantity/angle';

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
  if (readings.length === 0) {
    throw new RangeError('There is no reading to take the mean of: give at least one.');
  }
  if (!(leastCount >= 0)) {
    throw new RangeError(
      `The least count is ${leastCount} rad: give a positive angle, or leave it out.`,
    );
  }
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
