/** A vector function of the parameters, written into `out`. */
export type VectorFunction = (parameters: number[], out: Float64Array) => void;

/** Lower and upper limit of one parameter. */
export type Bound = readonly [low: number, high: number];

// Steps that balance cutting error against rounding: ε^(1/3) for order 2, ε^(1/5) for order 4.
const coarseStep = 6e-6;
const fineStep = 1.2e-3;

/** Offsets in steps and their weights: order 2 and order 4, in the middle and from one side. */
const rules = {
  coarse: { offsets: [-1, 1], weights: [-1 / 2, 1 / 2] },
  coarseAside: { offsets: [0, 1, 2], weights: [-3 / 2, 2, -1 / 2] },
  fine: { offsets: [-2, -1, 1, 2], weights: [1 / 12, -2 / 3, 2 / 3, -1 / 12] },
  fineAside: { offsets: [0, 1, 2, 3, 4], weights: [-25 / 12, 4, -3, 4 / 3, -1 / 4] },
};

/**
 * Numerical derivatives of a model with respect to its parameters.
 *
 * Each parameter has a length of its own over which the model changes; steps are fractions of that length. It
 * starts from the parameter's size, and is corrected by what the model does: so neither the unit of a parameter
 * nor an offset that is large against the width of a peak spoils the derivative.
 */
export class Derivatives {
  private readonly lengths: number[];
  private readonly work: Float64Array;
  private readonly middle: Float64Array;

  constructor(
    private readonly model: VectorFunction,
    private readonly size: number,
    start: readonly number[],
    private readonly bounds: readonly (Bound | undefined)[],
  ) {
    this.work = new Float64Array(size);
    this.middle = new Float64Array(size);
    this.lengths = start.map((value) => Math.abs(value) || 1);
  }

  /**
   * Columns df/dp_j at `parameters`.
   *
   * @param at the model there, so that it is not computed again
   * @param fine order 4 instead of order 2
   */
  columns(parameters: readonly number[], at: Float64Array, fine: boolean): Float64Array[] {
    const size = norm(at);
    return parameters.map((_, j) => {
      for (let attempt = 0; ; attempt++) {
        const column = new Float64Array(this.size);
        const bend = this.difference(parameters, j, at, fine, column);
        if (attempt >= 24 || this.suits(j, norm(column), bend, size, fine)) return column;
      }
    });
  }

  /** One column into `out`; returns the norm of the second difference, f(p + h) − 2 f(p) + f(p − h), over h². */
  private difference(
    parameters: readonly number[],
    j: number,
    at: Float64Array,
    fine: boolean,
    out: Float64Array,
  ): number {
    const { work, middle } = this;
    const moved = parameters.slice();
    const here = parameters[j];
    const { step, aside } = this.step(j, here, fine);
    const { offsets, weights } =
      rules[fine ? (aside ? 'fineAside' : 'fine') : aside ? 'coarseAside' : 'coarse'];
    middle.fill(0);
    const bendAt = aside ? [0, 1, 2] : [-1, 0, 1];
    for (let i = 0; i < this.size; i++) middle[i] = aside ? at[i] : -2 * at[i];
    for (let k = 0; k < offsets.length; k++) {
      const offset = offsets[k];
      if (offset === 0) {
        for (let i = 0; i < this.size; i++) out[i] += weights[k] * at[i];
        continue;
      }
      moved[j] = here + offset * step;
      this.model(moved, work);
      const share = bendAt.includes(offset) ? (aside && offset === 1 ? -2 : 1) : 0;
      for (let i = 0; i < this.size; i++) {
        out[i] += weights[k] * work[i];
        middle[i] += share * work[i];
      }
    }
    for (let i = 0; i < this.size; i++) out[i] /= step;
    return norm(middle) / (step * step);
  }

  /** A step that the machine represents exactly, on the inner side when a bound is near. */
  private step(j: number, here: number, fine: boolean): { step: number; aside: boolean } {
    const wanted = this.lengths[j] * (fine ? fineStep : coarseStep);
    const step = here + wanted - here || wanted;
    const [low, high] = this.bounds[j] ?? [-Infinity, Infinity];
    const reach = fine ? 2 : 1;
    if (here - reach * step >= low && here + reach * step <= high) return { step, aside: false };
    const inward = here - low < high - here ? 1 : -1;
    const room = (inward > 0 ? high - here : here - low) / 4;
    return { step: inward * Math.min(step, room), aside: true };
  }

  /** True when the step suits the model; else the length is changed and the column is to be computed again. */
  private suits(j: number, slope: number, bend: number, size: number, fine: boolean): boolean {
    const length = this.lengths[j];
    if (!Number.isFinite(slope)) {
      this.lengths[j] = length / 16;
      return false;
    }
    const step = length * (fine ? fineStep : coarseStep);
    const rounding = (4e-16 * size) / (step * step);
    // Over lengths up to slope / bend the model is nearly straight; a bend below rounding says nothing. The root
    // keeps the length from vanishing where the slope happens to be zero.
    const straight =
      bend > 4 * rounding ? Math.max(slope / bend, 0.03 * Math.sqrt(size / bend)) : Infinity;
    if (straight < length / 3) {
      this.lengths[j] = Math.max(straight, length / 100);
      return false;
    }
    // A change that drowns in rounding asks for longer steps, as long as the model stays straight over them.
    const change = slope * step;
    if (change > 0 && change < (fine ? 1e-5 : 1e-7) * size && straight > 30 * length) {
      this.lengths[j] = length * 30;
      return false;
    }
    return true;
  }
}

/** Euclidean length. */
export function norm(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i] * values[i];
  return Math.sqrt(sum);
}
