import type { FitResult } from '../fit-result';
import type { Profile } from '../profile';

/** What the residuals of a fit say about each other. */
export interface Scatter {
  /** R = Σ r_i r_(i+1) / Σ r_i², r in units of u. */
  readonly correlation: number;
  /** More of it than chance would have once in 30 000 fits. */
  readonly drifting: boolean;
  /** τ: so many neighbouring residuals say as much as one that is independent; 1 where they do not drift. */
  readonly together: number;
}

/** By chance neighbours agree, or χ² exceeds its mean, by this many standard deviations once in 30 000 fits. */
export const unlikely = 4;

/**
 * Whether neighbouring residuals go together, and how many.
 *
 *   R_k = Σ r_i r_(i+k) / Σ r_i²,  τ = 1 + 2 Σ R_k, k = 1 … K
 *
 * For independent noise R₁ has the mean 0 and the standard deviation 1/√n. Blur, speckle, a picture's own smoothing and a
 * model that misses something make it larger: n points then say as much as n/τ, and variances are τ times as large. The
 * sum ends at the first R_k that is no longer above its chance, and after a tenth of the points.
 *
 * @see Sokal, in Functional Integration, NATO ASI B 361, 131 (1997) (from memory), for τ and where its sum ends
 */
export function scatterOf(residuals: Float64Array, weights: Float64Array): Scatter {
  const r = residuals.map((value, i) => value * weights[i]);
  let all = 0;
  for (const value of r) all += value * value;
  if (!(all > 0)) return { correlation: 0, drifting: false, together: 1 };
  const along = (k: number) => {
    let sum = 0;
    for (let i = k; i < r.length; i++) sum += r[i] * r[i - k];
    return sum / all;
  };
  const correlation = along(1);
  const chance = 1 / Math.sqrt(r.length);
  if (correlation <= unlikely * chance) return { correlation, drifting: false, together: 1 };
  let together = 1;
  for (let k = 1; k <= r.length / 10; k++) {
    const share = along(k);
    if (share < chance) break;
    together += 2 * share;
  }
  return { correlation, drifting: true, together };
}

/** Share of the points' variation about their mean that the curve leaves. */
export function unexplained({ y }: Profile, residuals: Float64Array): number {
  const mean = y.reduce((sum, value) => sum + value, 0) / y.length;
  const all = y.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return residuals.reduce((sum, value) => sum + value * value, 0) / all;
}

/** Points that were computed lie on the curve far better than noise would let them. */
export function isNoisy(
  { y }: Profile,
  weights: Float64Array,
  absolute: boolean,
  { chiSquare, reducedChiSquare }: FitResult,
): boolean {
  if (absolute) return reducedChiSquare > 0.1;
  const size = y.reduce((sum, value, i) => sum + (value * weights[i]) ** 2, 0);
  return chiSquare > 1e-12 * size;
}
