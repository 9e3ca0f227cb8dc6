import type { Evaluation, Measured } from './measured';

/**
 * Covariance of two measured values, from the causes that they share.
 *
 * @returns in the product of their units
 * @see JCGM 100:2008, 5.2.2 and F.1.2.3
 * @example covariance(...correlated([1, 2], [[0.04, 0.01], [0.01, 0.09]])) // 0.01
 */
export function covariance(a: Measured, b: Measured): number {
  let sum = 0;
  for (const [cause, part] of a.contributions) sum += part * (b.contributions.get(cause) ?? 0);
  return sum;
}

/**
 * Correlation coefficient of two measured values.
 *
 *   r = u(a, b) / (u(a) u(b))
 *
 * @returns −1…1; 0 when one of them has no uncertainty
 * @see JCGM 100:2008, 5.2.2
 * @example correlation(...correlated([1, 2], [[0.04, 0.01], [0.01, 0.09]])) // 0.166666…
 */
export function correlation(a: Measured, b: Measured): number {
  const product = a.u * b.u;
  return product === 0 ? 0 : Math.max(-1, Math.min(1, covariance(a, b) / product));
}

/**
 * Effective degrees of freedom by the Welch–Satterthwaite formula. Values that were evaluated together, such as the
 * means of readings taken together or the parameters of one fit, count as one term with one ν.
 *
 *   ν = u⁴ / Σ uₑ⁴/νₑ,  uₑ² = the sum of u²ᵢ over the causes i of evaluation e
 *
 * @returns ν > 0; Infinity when every uncertainty is known exactly
 * @see JCGM 100:2008, G.4.1; for values evaluated together R. Willink, Metrologia 44 (2007) 340 (both cited from memory)
 * @example effectiveFreedom(measured(1, 0.1, { freedom: 5 })) // 5
 */
export function effectiveFreedom(x: Measured): number {
  const squares = new Map<Evaluation, number>();
  for (const [{ evaluation }, part] of x.contributions)
    squares.set(evaluation, (squares.get(evaluation) ?? 0) + part ** 2);
  let sum = 0;
  let total = 0;
  for (const [{ freedom }, square] of squares) {
    total += square;
    sum += square ** 2 / freedom;
  }
  return sum === 0 ? Number.POSITIVE_INFINITY : total ** 2 / sum;
}
