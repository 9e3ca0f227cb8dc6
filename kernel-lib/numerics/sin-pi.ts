/**
 * sin πx. Quarter turns are taken off x before π enters, so it is exactly 0 at every integer and costs the
 * same at any size of x: profiles ask for millions.
 *
 * @param x any finite number, in half turns
 * @returns −1…1, to 2 units in the last place
 * @example sinPi(1e6 + 0.5) // 1
 */
export function sinPi(x: number): number {
  const quarters = Math.round(2 * x);
  const t = Math.PI * (x - quarters / 2);
  const size = (quarters & 1) === 0 ? sinNear(t) : cosNear(t);
  return (quarters & 2) === 0 ? size : -size;
}

/**
 * cos πx, exactly 0 at every odd half.
 *
 * @param x any finite number, in half turns
 * @returns −1…1, to 2 units in the last place
 * @example cosPi(1.5) // 0
 */
export function cosPi(x: number): number {
  const quarters = Math.round(2 * x);
  const t = Math.PI * (x - quarters / 2);
  const size = (quarters & 1) === 0 ? cosNear(t) : sinNear(t);
  return ((quarters + 1) & 2) === 0 ? size : -size;
}

// Taylor's series for |t| ≤ π/4: the first term left out, t¹⁹/19! or t¹⁸/18!, is below the last bit.

function sinNear(t: number): number {
  const q = t * t;
  let sum = 1 / 355687428096000;
  sum = sum * q - 1 / 1307674368000;
  sum = sum * q + 1 / 6227020800;
  sum = sum * q - 1 / 39916800;
  sum = sum * q + 1 / 362880;
  sum = sum * q - 1 / 5040;
  sum = sum * q + 1 / 120;
  sum = sum * q - 1 / 6;
  return t + t * q * sum;
}

function cosNear(t: number): number {
  const q = t * t;
  let sum = 1 / 20922789888000;
  sum = sum * q - 1 / 87178291200;
  sum = sum * q + 1 / 479001600;
  sum = sum * q - 1 / 3628800;
  sum = sum * q + 1 / 40320;
  sum = sum * q - 1 / 720;
  sum = sum * q + 1 / 24;
  sum = sum * q - 0.5;
  return 1 + q * sum;
}
