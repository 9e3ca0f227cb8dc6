import type { Bound, VectorFunction } from './derivatives';

/** What is minimised: the sum of squares of (observed − model), both already divided by the standard uncertainty. */
export interface LeastSquares {
  readonly observed: Float64Array;
  readonly model: VectorFunction;
  /** Columns df/dp_j, when they are known by formula. */
  readonly columns?: (parameters: number[]) => Float64Array[];
  readonly bounds: readonly (Bound | undefined)[];
}
