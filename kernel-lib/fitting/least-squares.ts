import type { Bound, VectorFunction } from './derivatives';

/** What is minimised: the sum of squares of (observed − model), both already divided by the standard uncertainty. */
export interface LeastSquares {
  readonly observed: Float64Array;
  readonly model: VectorFunction;
  /** Model and columns df/dp_j together, when the derivatives are known by formula. */
  readonly both?: (parameters: number[], values: Float64Array, columns: Float64Array[]) => void;
  readonly bounds: readonly (Bound | undefined)[];
}

/** When a descent has arrived: the next step would be shorter than this many standard uncertainties. */
export interface Stopping {
  readonly maxIterations: number;
  readonly tolerance: number;
  /** Parameters from which no other way of damping is worth trying. */
  readonly hopeless?: (parameters: readonly number[]) => boolean;
}
