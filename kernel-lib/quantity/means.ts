import { requireNumbers } from '../numerics/require';
import { correlated } from './correlated';
import { combine, Measured } from './measured';

const checkReadings = (readings: readonly number[]) =>
  requireNumbers('readings', readings, 'give finite numbers in one unit', { least: 2 });

const average = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;

/**
 * Mean of repeated readings with its standard uncertainty (a Type A evaluation).
 *
 *   q̄ = Σ q/n,  u(q̄) = s/√n,  s² = Σ (q − q̄)²/(n − 1)
 *
 * @param readings at least 2, in one unit
 * @returns the mean, with n − 1 degrees of freedom
 * @throws TypeError, RangeError for fewer than 2 readings, or one that is not a finite number
 * @see JCGM 100:2008, 4.2
 * @example String(meanOf([10.1, 10.3, 10.2])) // '10.20(6)'
 */
export function meanOf(readings: readonly number[]): Measured {
  checkReadings(readings);
  return meansOf([Array.from(readings)])[0];
}

/**
 * Means of quantities that were read together: row after row of one list belongs to the same moment
 * in the others, so the means are correlated as the readings were.
 *
 *   u(q̄, r̄) = Σ (q − q̄)(r − r̄) / (n (n − 1))
 *
 * @param series one list of readings for each quantity, all of the same length n ≥ 2
 * @returns the means in the same order, with n − 1 degrees of freedom
 * @throws TypeError, RangeError when the lists differ in length, hold fewer than 2 readings, or one that is not a finite number
 * @see JCGM 100:2008, 5.2.3
 * @example String(meansOf([[1.1, 1.3, 1.2], [2.1, 2.2, 2.2]])) // '1.20(6),2.17(3)'
 */
export function meansOf(series: readonly (readonly number[])[]): Measured[] {
  for (const readings of series) checkReadings(readings);
  const n = series[0]?.length ?? 0;
  if (series.some((readings) => readings.length !== n))
    throw new RangeError(
      `Readings taken together come in lists of one length; these have ${series.map((list) => list.length).join(', ')}.`,
    );
  const means = series.map(average);
  const off = series.map((readings, i) => readings.map((x) => x - means[i]));
  const covariance = off.map((a) =>
    off.map((b) => a.reduce((sum, x, k) => sum + x * b[k], 0) / (n * (n - 1))),
  );
  return correlated(means, covariance, { freedom: n - 1 });
}

/**
 * Weighted mean of independent measured values of one quantity.
 *
 *   x̄ = Σ wᵢ xᵢ / Σ wᵢ,  wᵢ = 1/u²(xᵢ)
 *
 * The weights are best for independent values; if they share a cause, the uncertainty still counts it.
 *
 * @param values at least 1, each with u > 0
 * @returns the mean, in the same unit; for independent values u = 1/√Σ wᵢ
 * @throws RangeError for an empty list, or a value without uncertainty
 * @see common practice (least squares for a constant), no source
 * @example String(weightedMean([measured(10, 0.1), measured(10.4, 0.2)])) // '10.08(9)'
 */
export function weightedMean(values: readonly Measured[]): Measured {
  if (values.length === 0) throw new RangeError('weightedMean needs at least one measured value.');
  const weights = values.map((x, i) => {
    if (x instanceof Measured && x.u > 0) return 1 / x.u ** 2;
    throw new RangeError(
      `weightedMean weighs by 1/u²; value ${i + 1} has no uncertainty. Give it one with measured(value, u).`,
    );
  });
  const total = weights.reduce((a, b) => a + b, 0);
  const value = values.reduce((sum, x, i) => sum + weights[i] * x.value, 0) / total;
  return combine(value, ...values.map((x, i) => [x, weights[i] / total] as const));
}
