import { requireFinite, requireTable } from './require';

/** How fine an integral is taken. */
export interface QuadratureOptions {
  /** Largest error, in the unit of the integral. Default 1e-12 of the integral of |f|. */
  readonly tolerance?: number;
}

/**
 * The integral of a function over a finite interval: Gauss–Legendre sums with 10 and 21 points, halving
 * the interval until the two agree.
 *
 * @param f finite between low and high
 * @param low lower end
 * @param high upper end (below low: the sign turns)
 * @param options `tolerance`
 * @returns the integral, in the unit of f times that of x
 * @throws RangeError when an end is not finite
 * @example integrate(Math.sin, 0, Math.PI) // 2
 */
export function integrate(
  f: (x: number) => number,
  low: number,
  high: number,
  options: QuadratureOptions = {},
): number {
  requireFinite('The lower end of an integral', low);
  requireFinite('The upper end of an integral', high);
  const size = Math.abs(sum((x) => Math.abs(f(x)), low, high, fine));
  const tolerance = options.tolerance ?? 1e-12 * size;
  // Halving the interval halves its share of the tolerance, but never the rounding of the sum.
  return refined(f, low, high, tolerance, 4 * Number.EPSILON * size, deepest);
}

/**
 * The integral of tabulated values by trapezia.
 *
 * @param xs ascending, at least two
 * @param ys as many values
 * @returns the area under the straight lines between the points
 * @throws RangeError when the lengths differ, a number is not finite, or xs does not ascend
 * @example trapezoid([0, 1, 3], [0, 2, 2]) // 5
 */
export function trapezoid(xs: ArrayLike<number>, ys: ArrayLike<number>): number {
  requireTable(xs, ys, 2);
  let area = 0;
  for (let i = 1; i < xs.length; i++) area += ((xs[i] - xs[i - 1]) * (ys[i] + ys[i - 1])) / 2;
  return area;
}

function refined(
  f: (x: number) => number,
  low: number,
  high: number,
  tolerance: number,
  rounding: number,
  depth: number,
): number {
  const rough = sum(f, low, high, coarse);
  const better = sum(f, low, high, fine);
  if (depth === 0 || Math.abs(better - rough) <= Math.max(tolerance, rounding)) return better;
  const middle = (low + high) / 2;
  return (
    refined(f, low, middle, tolerance / 2, rounding, depth - 1) +
    refined(f, middle, high, tolerance / 2, rounding, depth - 1)
  );
}

function sum(
  f: (x: number) => number,
  low: number,
  high: number,
  { nodes, weights }: { nodes: Float64Array; weights: Float64Array },
): number {
  const half = (high - low) / 2;
  const middle = (low + high) / 2;
  let total = 0;
  for (let i = 0; i < nodes.length; i++) total += weights[i] * f(middle + half * nodes[i]);
  return half * total;
}

/** Points and weights of a sum that integrates polynomials over −1…1 exactly, up to degree 2n − 1. */
export interface GaussRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/**
 * The Gauss–Legendre rule: the nodes are the zeros of the Legendre polynomial Pₙ, found by Newton's method.
 *
 *   ∫ f(x) dx over −1…1 ≈ Σ wᵢ f(xᵢ),  wᵢ = 2 / ((1 − xᵢ²) Pₙ′(xᵢ)²)
 *
 * @param count number of nodes n, a whole number from 1
 * @returns nodes in ascending order and their weights
 * @see NIST Digital Library of Mathematical Functions, 3.5(v) (from memory)
 * @example gaussLegendre(2).nodes[1] // 0.5773502691896257
 */
export function gaussLegendre(count: number): GaussRule {
  const nodes = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let x = -Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let step = 0; step < 10; step++) {
      let [before, value] = [1, x];
      for (let k = 2; k <= count; k++) {
        [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
      }
      slope = (count * (x * value - before)) / (x * x - 1);
      x -= value / slope;
    }
    nodes[i] = x;
    weights[i] = 2 / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}

const coarse = gaussLegendre(10);

const fine = gaussLegendre(21);

// A step in f is narrowed down to 2⁻⁴⁰ of the interval.
const deepest = 40;
