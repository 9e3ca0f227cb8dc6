// Below this, sinc x is 1 to the last bit, and x itself may be too small to divide by.
const tiny = 1e-9;

/**
 * The sinc **without** π in it, as optics texts write it with β = πas/λ.
 *
 *   sinc x = sin x / x,  sinc 0 = 1
 *
 * @param x rad, any finite number
 * @returns −0.217…1; zeros at π, 2π, …
 * @example sinc(Math.PI / 2) // 0.6366197723675814
 */
export function sinc(x: number): number {
  return Math.abs(x) < tiny ? 1 : Math.sin(x) / x;
}

/**
 * The sinc **with** π in it, as signal processing writes it; its zeros are exactly the integers.
 *
 *   sincPi x = sin πx / πx,  sincPi 0 = 1
 *
 * @param x any finite number; for a slit a s / λ
 * @returns −0.217…1
 * @example sincPi(0.5) // 0.6366197723675814
 */
export function sincPi(x: number): number {
  return Math.abs(x) < tiny ? 1 : sinPi(x) / (Math.PI * x);
}

/**
 * Slope of the sinc without π: d/dx (sin x / x) = (cos x − sinc x) / x.
 *
 * @param x rad, any finite number
 * @returns per rad; 0 at x = 0
 * @example sincSlope(Math.PI) // -0.3183098861837907
 */
export function sincSlope(x: number): number {
  if (Math.abs(x) > 0.3) return (Math.cos(x) - sinc(x)) / x;
  const q = x * x;
  return -x * (1 / 3 - q * (1 / 30 - q * (1 / 840 - q * (1 / 45360 - q / 3991680))));
}

/**
 * Second derivative of the sinc without π: −sinc x − 2 sinc′x / x.
 *
 * @param x rad, any finite number
 * @returns per rad²; −1/3 at x = 0
 * @example sincCurvature(0) // -0.3333333333333333
 */
export function sincCurvature(x: number): number {
  return Math.abs(x) < tiny ? -1 / 3 : -sinc(x) - (2 * sincSlope(x)) / x;
}

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
