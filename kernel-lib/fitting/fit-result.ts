import { inverseNormal, type Triangle } from './householder';

/** A fitted value and its standard uncertainty, both in the parameter's own unit. */
export interface Fitted {
  readonly value: number;
  readonly u: number;
}

/** What every fit hands back. */
export interface FitResult {
  /** In the order of the start values. */
  readonly parameters: readonly Fitted[];
  /** covariance[i][j] of the parameters; its diagonal holds the squares of u. */
  readonly covariance: readonly (readonly number[])[];
  /** True when the sum of squares is at a minimum and every parameter is determined. */
  readonly converged: boolean;
  /** One sentence: why the fit ended. */
  readonly message: string;
  /** Σ ((y − model)/u)², with u = 1 where none was given. */
  readonly chiSquare: number;
  /** True where the covariance follows from given uncertainties alone; false where the scatter of the residuals set its scale. */
  readonly absolute: boolean;
  /** Points less parameters. */
  readonly degreesOfFreedom: number;
  /** chiSquare / degreesOfFreedom; near 1 when the given u are right. */
  readonly reducedChiSquare: number;
  /** y − model, in the unit of y. */
  readonly residuals: Float64Array;
  readonly iterations: number;
}

/**
 * Covariance of the parameters from the triangle R of the weighted Jacobian.
 *
 * With given uncertainties it is (JᵀJ)⁻¹; without, that times the reduced χ², since the scatter of the residuals is
 * then the only thing that tells how uncertain a point is. A parameter that the data do not determine has u = ∞.
 */
export function covarianceOf(
  triangle: Triangle,
  absolute: boolean,
  reducedChiSquare: number,
): { covariance: number[][]; determined: boolean } {
  const inverse = inverseNormal(triangle);
  const count = triangle.rows.length;
  if (!inverse) {
    const infinite = Array.from({ length: count }, (_, i) =>
      Array.from({ length: count }, (__, j) => (i === j ? Infinity : 0)),
    );
    return { covariance: infinite, determined: false };
  }
  const factor = absolute ? 1 : reducedChiSquare;
  return { covariance: inverse.map((row) => row.map((value) => value * factor)), determined: true };
}
