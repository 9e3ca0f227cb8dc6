import { type Bound, Derivatives, norm } from './derivatives';
import { type Triangle, triangulate } from './householder';
import type { LeastSquares } from './least-squares';
import { clamp, dot, squareOfDifference, subtract } from './steps';

/** Where a descent stands: parameters, the model and its Jacobian there, and one place on trial. */
export class Place {
  parameters: number[];
  at: Float64Array;
  chi: number;
  /** Jacobian by columns; overwritten by `triangle` unless it was asked to keep it. */
  columns: Float64Array[];
  private trialAt: Float64Array;
  private readonly right: Float64Array;
  private trialColumns: Float64Array[];
  private trialParameters: number[] = [];
  private trialChi = Infinity;
  private readonly derivatives: Derivatives;
  private fine: boolean;
  /** The last triangle still describes the present place, all parameters free. */
  private last: Triangle | undefined;

  constructor(
    private readonly problem: LeastSquares,
    start: readonly number[],
  ) {
    const { observed, bounds, both, model } = problem;
    const size = observed.length;
    this.derivatives = new Derivatives(model, size, start, bounds);
    this.parameters = start.map((value, j) => clamp(value, bounds[j]));
    // One piece of memory for all: quicker to get, and columns that do not push each other out of the cache.
    const count = both ? start.length : 0;
    const memory = new Float64Array(size * (3 + 2 * count));
    const piece = (k: number) => memory.subarray(k * size, (k + 1) * size);
    this.at = piece(0);
    this.trialAt = piece(1);
    this.right = piece(2);
    this.columns = Array.from({ length: count }, (_, j) => piece(3 + j));
    this.trialColumns = Array.from({ length: count }, (_, j) => piece(3 + count + j));
    this.fine = both !== undefined;
    if (both) both(this.parameters, this.at, this.columns);
    else model(this.parameters, this.at);
    this.chi = squareOfDifference(observed, this.at);
  }

  /** Triangle of the Jacobian here; parameters held by a bound do not take part. */
  triangle(keepColumns: boolean): Triangle {
    const { problem, parameters } = this;
    if (!problem.both) this.columns = this.derivatives.columns(parameters, this.at, this.fine);
    const { right } = this;
    subtract(problem.observed, this.at, right);
    const held = parameters.map((value, j) => {
      const bound = problem.bounds[j];
      return bound !== undefined && pinned(value, () => dot(this.columns[j], right), bound);
    });
    const free = !held.includes(true);
    for (const [j, is] of held.entries()) if (is) this.columns[j].fill(0);
    const columns = keepColumns ? this.columns.map((column) => column.slice()) : this.columns;
    const triangle = triangulate(columns, right);
    this.last = free && this.fine ? triangle : undefined;
    return triangle;
  }

  /** True once derivatives are precise. */
  get precise(): boolean {
    return this.fine;
  }

  /** Go over to precise derivatives; false when they are already in use. */
  refine(): boolean {
    const changed = !this.fine;
    this.fine = true;
    return changed;
  }

  /** χ² at other parameters; NaN counts as infinitely bad. `last`: no derivatives will be asked for there. */
  tryOut(parameters: number[], last = false): number {
    const { both, model, observed } = this.problem;
    if (both && !last) both(parameters, this.trialAt, this.trialColumns);
    else model(parameters, this.trialAt);
    this.trialParameters = parameters;
    const chi = squareOfDifference(observed, this.trialAt);
    this.trialChi = Number.isNaN(chi) ? Infinity : chi;
    return this.trialChi;
  }

  /** Go to the place just tried. `near`: so near that the Jacobian there is the same. */
  accept(near: boolean): void {
    [this.at, this.trialAt] = [this.trialAt, this.at];
    [this.columns, this.trialColumns] = [this.trialColumns, this.columns];
    this.parameters = this.trialParameters;
    this.chi = this.trialChi;
    if (!near) this.last = undefined;
  }

  finalTriangle(): Triangle {
    if (this.last) return this.last;
    const { both } = this.problem;
    // The stored columns may have been overwritten or cleared, so they are made anew.
    if (both) both(this.parameters, this.at, this.columns);
    else this.columns = this.derivatives.columns(this.parameters, this.at, true);
    return triangulate(this.columns, this.residuals());
  }

  residuals(): Float64Array {
    const out = new Float64Array(this.at.length);
    subtract(this.problem.observed, this.at, out);
    return out;
  }

  /** Square of the length below which a change of the model is rounding. */
  rounding(): number {
    return (2e-16 * norm(this.at)) ** 2;
  }
}

/** True at a bound when downhill lies beyond it. The slope is Jᵀr: positive when the parameter wants to grow. */
function pinned(value: number, slope: () => number, [low, high]: Bound): boolean {
  if (value > low && value < high) return false;
  return value <= low ? slope() <= 0 : slope() >= 0;
}
