import { fitLine } from '../fit-line';
import type { FitResult, Fitted } from '../fit-result';
import type { Profile } from '../profile';
import { type SlitParameter, slitParameters } from './slit-model';

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

/** How the residuals of the best fit go together; points that were computed have no noise that could. */
export function scatterOfBest(
  best: FitResult | undefined,
  kept: Profile,
  { weights, absolute }: { readonly weights: Float64Array; readonly absolute: boolean },
): Scatter {
  if (!best || !isNoisy(kept, weights, absolute, best)) {
    return { correlation: 0, drifting: false, together: 1 };
  }
  return scatterOf(best.residuals, weights);
}

/** A result whose parameters stand under their names too. */
type NamedResult = FitResult &
  Readonly<Record<SlitParameter, Fitted>> & {
    readonly names: readonly SlitParameter[];
  };

/** Uncertainties that hold what the scatter and the scale of the picture say besides. */
export function widened<Result extends NamedResult>(
  result: Result,
  { together }: Scatter,
  uScale = 0,
): Result {
  const { reducedChiSquare: chi, degreesOfFreedom, absolute } = result;
  const more = absolute && chi - 1 > unlikely * Math.sqrt(2 / degreesOfFreedom) ? chi : 1;
  const factor = Math.sqrt(more * together);
  if (factor === 1 && uScale === 0) return result;
  // A scale that is too large by a share makes the pattern too wide and the slits too narrow by it.
  const signs: Partial<Record<SlitParameter, number>> = { width: -1, spacing: -1, blur: 1 };
  const { names } = result;
  const moves = names.map((name, j) => (signs[name] ?? 0) * result.parameters[j].value * uScale);
  const covariance = result.covariance.map((row, i) =>
    row.map((value, j) => value * factor * factor + moves[i] * moves[j]),
  );
  const wide = (name: SlitParameter, { value, u }: Fitted): Fitted => {
    if (u === 0) return { value, u };
    return { value, u: Math.hypot(u * factor, (signs[name] ?? 0) * value * uScale) };
  };
  const parameters = result.parameters.map((one, j) => wide(names[j], one));
  const each = Object.fromEntries(
    slitParameters.map((name) => [name, wide(name, result[name])]),
  ) as Record<SlitParameter, Fitted>;
  return { ...result, ...each, parameters, covariance };
}

/**
 * Bayesian information criterion of a fit: n ln(χ²/n) + k ln n for n points and k parameters. Where the residuals of
 * `together` neighbours go together, n points say as much as n/τ.
 */
export function bicOf(
  { chiSquare, parameters }: Pick<FitResult, 'chiSquare' | 'parameters'>,
  points: number,
  together = 1,
): number {
  const count = points / together;
  return count * Math.log(chiSquare / points) + parameters.length * Math.log(count);
}

/** The same of a profile without a pattern: a constant, or a straight line where the ground may slope. */
export function bicOfGround(
  { x, y }: Profile,
  weights: Float64Array,
  sloping: boolean,
  together = 1,
): number {
  const points = y.length;
  const count = points / together;
  const level = sloping && points > 2 ? 2 : 1;
  const { chiSquare } =
    level === 2 ? fitLine({ x, y, u: weights.map((w) => 1 / w) }) : aboutMean(y, weights);
  return count * Math.log(chiSquare / points) + level * Math.log(count);
}

function aboutMean(y: Float64Array, weights: Float64Array): { chiSquare: number } {
  let total = 0;
  let mean = 0;
  for (let i = 0; i < y.length; i++) {
    const w = weights[i] * weights[i];
    total += w;
    mean += w * y[i];
  }
  mean /= total;
  let chiSquare = 0;
  for (let i = 0; i < y.length; i++) {
    const off = (y[i] - mean) * weights[i];
    chiSquare += off * off;
  }
  return { chiSquare };
}
