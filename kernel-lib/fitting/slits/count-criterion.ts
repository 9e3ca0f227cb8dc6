import { fitLine } from '../fit-line';
import type { FitResult } from '../fit-result';
import type { Profile } from '../profile';
import type { CountFit } from './fit-slit-count';

/** Several slits show themselves by fringes: of a tenth at least, and of no more than all, within their uncertainty. */
export function isCredible({ visibility: { value, u } }: Pick<CountFit, 'visibility'>): boolean {
  return value >= 0.1 && value <= Math.max(1.1, 1 + 3 * u);
}

/** Bayesian information criterion of a fit: n ln(χ²/n) + k ln n for n points and k parameters. */
export function bicOf(fit: Pick<FitResult, 'chiSquare' | 'parameters'>, points: number): number {
  return points * Math.log(fit.chiSquare / points) + fit.parameters.length * Math.log(points);
}

/** The same of a profile without a pattern: a constant, or a straight line where the ground may slope. */
export function bicOfGround({ x, y }: Profile, weights: Float64Array, sloping: boolean): number {
  const points = y.length;
  const level = sloping && points > 2 ? 2 : 1;
  const { chiSquare } =
    level === 2 ? fitLine({ x, y, u: weights.map((w) => 1 / w) }) : aboutMean(y, weights);
  return points * Math.log(chiSquare / points) + level * Math.log(points);
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
