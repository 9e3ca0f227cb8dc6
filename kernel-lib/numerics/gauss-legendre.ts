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
