import { correlated } from '../quantity/correlated';
import type { Measured } from '../quantity/measured';

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
 * The parameters of a fit as measured values that know their correlation, to compute on with: a slope divided by an
 * intercept then has the right uncertainty.
 *
 * @param fit what `fitLine`, `fitCurve` or `fitSlits` gave
 * @returns one measured value per parameter, in their order; their degrees of freedom are those of the fit where the
 * scatter of its residuals told the uncertainties, and infinite where uncertainties were given
 * @throws RangeError when the fit does not determine every parameter
 * @see JCGM 100:2008, 5.2.2 (cited from memory)
 * @example measuredParameters(fitLine({ x: [0, 1, 2], y: [1, 3, 5], u: 0.1 }))[1].value // 2
 */
export function measuredParameters(fit: FitResult): Measured[] {
  const unknown = fit.parameters.findIndex(
    ({ value, u }) => !Number.isFinite(value) || !Number.isFinite(u),
  );
  if (unknown >= 0) {
    throw new RangeError(
      `Parameter ${unknown} of this fit is not determined (u = ${fit.parameters[unknown].u}): ${fit.message}`,
    );
  }
  const values = fit.parameters.map(({ value }) => value);
  const freedom = fit.absolute ? Number.POSITIVE_INFINITY : fit.degreesOfFreedom;
  return correlated(values, fit.covariance, { freedom });
}
