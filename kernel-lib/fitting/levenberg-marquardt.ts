import { type Bound, Derivatives, norm, type VectorFunction } from './derivatives';
import { backSubstitute, dampedStep, type Triangle, triangulate } from './householder';

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
  /** How many ways of damping are tried before the best of them is taken; default all. */
  readonly ways?: number;
  /** Parameters from which no other way of damping is worth trying. */
  readonly hopeless?: (parameters: readonly number[]) => boolean;
}
/** How the steps are damped at first. `scaling`: by the largest column seen so far, or by the present one. */
export interface Damping {
  readonly start: number;
  readonly scaling: 'largest' | 'present';
  readonly curved: boolean;
}

/** Where a run ended. */
export interface Descent {
  readonly parameters: number[];
  readonly residuals: Float64Array;
  readonly chiSquare: number;
  /** R of the precise Jacobian at the end, all parameters included. */
  readonly triangle: Triangle;
  readonly converged: boolean;
  readonly iterations: number;
}

/** Below this squared cosine between residuals and tangent plane the quadratic model is trusted without damping. */
const closeBy = 1e-4;

/**
 * Where no step lowers χ², and a full one would change the model by less than a hundred times its rounding, the minimum is
 * as near as it can be known: points without noise, whose curve goes through them to the last digits.
 */
const unseen = 1e4;

/** Of χ² at the start: less than this share is left when every residual is at the rounding of what it began with. */
const vanished = 4e-32;

/**
 * Levenberg–Marquardt descent, bent along the model's curvature where asked for, then undamped Gauss–Newton steps with
 * a precise Jacobian until the next one would be shorter than the tolerance.
 *
 * @see Marquardt, SIAM J. Appl. Math. 11, 431 (1963); Moré, Lecture Notes in Mathematics 630, 105 (1978), for the
 * scaling; Nielsen, report IMM-REP-1999-05, for the damping; Bates and Watts, Technometrics 23, 179 (1981), for the
 * measure of arrival (all from memory)
 */
export function descend(
  problem: LeastSquares,
  start: readonly number[],
  damping: Damping,
  { maxIterations, tolerance }: Stopping,
): Descent {
  const place = new Place(problem, start);
  const freedom = Math.max(1, problem.observed.length - start.length);
  const arrived = (tolerance * tolerance) / freedom;
  const nothing = vanished * place.chi;
  const scale = new Float64Array(start.length);
  let lambda = damping.start;
  let growth = 2;
  let trusted = closeBy;
  let before = Infinity;
  let smallest = Infinity;
  let notShrinking = 0;
  let converged = false;
  let iterations = 0;

  for (; iterations < maxIterations && !converged; iterations++) {
    const triangle = place.triangle(damping.curved);
    // What a full step would gain, by the quadratic model.
    const gain = square(triangle.right);
    const rate = before === Infinity ? 1 : Math.min(1, gain / before);
    rescale(scale, triangle, damping.scaling);

    if (gain <= trusted * place.chi || gain <= 4 * place.rounding()) {
      before = gain;
      notShrinking = gain > 0.99 * smallest ? notShrinking + 1 : 0;
      smallest = Math.min(gain, smallest);
      const still = gain <= 1e-12 * place.chi || gain <= 4 * place.rounding();
      const stuck = notShrinking >= (place.precise ? 4 : 2);
      converged = gain * rate <= arrived * place.chi || gain <= place.rounding() / 16;
      converged ||= stuck && still;
      // Only precise derivatives tell that a minimum is one.
      if ((converged || stuck || gain * rate <= 1e-13 * place.chi) && place.refine()) {
        [converged, smallest, notShrinking] = [false, Infinity, 0];
        continue;
      }
      const next = stepFrom(place.parameters, backSubstitute(triangle), problem.bounds);
      // χ² itself is rounded by twice the residuals times the rounding of the model.
      const rounded = 16 * place.rounding() + 4 * Math.sqrt(place.chi * place.rounding());
      const limit = place.chi * (1 + 1e-9) + rounded;
      if (place.tryOut(next, converged) <= limit) {
        place.accept(converged);
        continue;
      }
      if (converged) break;
      trusted /= 100;
      if (trusted < 1e-14) {
        converged = gain <= unseen * place.rounding() || place.chi <= nothing;
        break;
      }
    }

    before = gain;
    let moved = false;
    for (let attempt = 0; attempt < 60 && !moved; attempt++) {
      const root = Math.sqrt(lambda);
      const weights = scale.map((value) => value * root);
      const step = dampedStep(triangle, weights);
      const bent = damping.curved ? accelerate(problem, place, step, weights) : step;
      if (bent) {
        const next = stepFrom(place.parameters, bent, problem.bounds);
        const expected = predicted(triangle, next, place.parameters);
        const ratio = (place.chi - place.tryOut(next)) / Math.abs(expected || place.chi);
        if (ratio > 1e-4) {
          lambda *= ratio > 0.9 ? 0.1 : 1 - (2 * ratio - 1) ** 3;
          growth = 2;
          place.accept(false);
          moved = true;
        }
      }
      if (!moved) {
        lambda *= growth;
        growth *= 2;
      }
    }
    if (!moved) {
      if (!place.refine()) {
        converged = gain <= unseen * place.rounding() || place.chi <= nothing;
        break;
      }
      lambda = damping.start;
    }
  }
  return {
    parameters: place.parameters,
    residuals: place.residuals(),
    chiSquare: place.chi,
    triangle: place.finalTriangle(),
    converged,
    iterations,
  };
}

/** Column norms of J, read from R. */
function rescale(scale: Float64Array, { rows }: Triangle, scaling: Damping['scaling']): void {
  for (let j = 0; j < scale.length; j++) {
    let sum = 0;
    for (let i = 0; i <= j; i++) sum += rows[i][j] * rows[i][j];
    const length = Math.sqrt(sum);
    scale[j] = (scaling === 'largest' ? Math.max(scale[j], length) : length) || 1e-300;
  }
}

/** ‖r‖² − ‖r − J δ‖² from the triangle, for the step that is really taken. */
function predicted(
  { rows, right }: Triangle,
  next: readonly number[],
  from: readonly number[],
): number {
  let sum = 0;
  for (let k = 0; k < next.length; k++) {
    let along = 0;
    for (let j = k; j < next.length; j++) along += rows[k][j] * (next[j] - from[j]);
    sum += along * (2 * right[k] - along);
  }
  return sum;
}

/** Where a descent stands: parameters, the model and its Jacobian there, and one place on trial. */
class Place {
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

/**
 * The step bent along the model's own curvature: half the second derivative along the step is added.
 *
 * @returns the bent step; the plain one where a bound is too near to look ahead; undefined when the bend is too
 * large for the step to be believed
 * @see Transtrum, Machta and Sethna, Phys. Rev. E 83, 036701 (2011) (from memory)
 */
function accelerate(
  { model, observed, bounds }: LeastSquares,
  { parameters, at, columns }: Place,
  step: Float64Array,
  weights: Float64Array,
): Float64Array | undefined {
  const part = 0.1;
  const ahead = parameters.map((value, j) => value + part * step[j]);
  if (ahead.some((value, j) => value !== clamp(value, bounds[j]))) return step;
  const right = new Float64Array(observed.length);
  model(ahead, right);
  for (let i = 0; i < right.length; i++) {
    let along = 0;
    for (let j = 0; j < columns.length; j++) along += columns[j][i] * step[j];
    right[i] = (-2 / part) * ((right[i] - at[i]) / part - along);
  }
  if (!Number.isFinite(square(right))) return undefined;
  const bend = dampedStep(
    triangulate(
      columns.map((column) => column.slice()),
      right,
    ),
    weights,
  );
  const length = (vector: Float64Array) => norm(vector.map((value, j) => value * weights[j]));
  if (2 * length(bend) > 0.75 * length(step)) return undefined;
  return step.map((value, j) => value + bend[j] / 2);
}

const clamp = (value: number, bound: Bound | undefined) =>
  bound ? Math.min(Math.max(value, bound[0]), bound[1]) : value;

/** `from` + step, kept inside the bounds. */
const stepFrom = (
  from: readonly number[],
  step: ArrayLike<number>,
  bounds: readonly (Bound | undefined)[],
) => from.map((value, j) => clamp(value + step[j], bounds[j]));

/** a − b into out. */
function subtract(a: Float64Array, b: Float64Array, out: Float64Array): void {
  for (let i = 0; i < a.length; i++) out[i] = a[i] - b[i];
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

const square = (a: Float64Array) => dot(a, a);

function squareOfDifference(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) {
    const d = a[i] - b[i];
    sum += d * d;
  }
  return sum;
}
