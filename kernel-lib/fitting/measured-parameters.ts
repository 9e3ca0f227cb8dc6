import { correlated } from '../quantity/correlated';
import type { Measured } from '../quantity/measured';
import type { FitResult } from './fit-result';

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
