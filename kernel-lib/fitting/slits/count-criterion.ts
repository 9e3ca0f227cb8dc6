import type { FitResult } from '../fit-result';
import type { SlitParameter } from './slit-model';

/** Several slits show themselves by fringes: of a tenth at least, and of no more than all, within their uncertainty. */
export function isCredible({
  names,
  parameters,
}: Pick<FitResult, 'parameters'> & { readonly names: readonly SlitParameter[] }): boolean {
  const at = names.indexOf('visibility');
  if (at < 0) return true;
  const { value, u } = parameters[at];
  return value >= 0.1 && value <= Math.max(1.1, 1 + 3 * u);
}

/** Bayesian information criterion of a fit: n ln(χ²/n) + k ln n for n points and k parameters. */
export function bicOf(fit: Pick<FitResult, 'chiSquare' | 'parameters'>, points: number): number {
  return points * Math.log(fit.chiSquare / points) + fit.parameters.length * Math.log(points);
}

/** The same of a constant, which is what a profile without a pattern is. */
export function bicOfConstant(y: Float64Array, weights: Float64Array): number {
  let total = 0;
  let mean = 0;
  for (let i = 0; i < y.length; i++) {
    const w = weights[i] * weights[i];
    total += w;
    mean += w * y[i];
  }
  mean /= total;
  let chi = 0;
  for (let i = 0; i < y.length; i++) {
    const off = (y[i] - mean) * weights[i];
    chi += off * off;
  }
  return y.length * Math.log(chi / y.length) + Math.log(y.length);
}
