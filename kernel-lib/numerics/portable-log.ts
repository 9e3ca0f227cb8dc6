/**
 * Natural logarithm from + − × ÷ alone. `Math.log` may differ in the last bit from engine to engine;
 * random numbers must not.
 *
 *   x = 2ᵏ m with m near 1,  ln x = k ln 2 + 2 artanh((m − 1)/(m + 1))
 *
 * @param x a positive, finite number
 * @returns ln x, to a few units in the last place
 * @example portableLog(1) // 0
 */
export function portableLog(x: number): number {
  let exponent = 0;
  let m = x;
  for (; m > Math.SQRT2; m /= 2) exponent++;
  for (; m < Math.SQRT1_2; m *= 2) exponent--;
  const t = (m - 1) / (m + 1);
  // |t| < 0.172, so t²³ is below the last bit.
  let sum = 0;
  for (let k = 21; k >= 1; k -= 2) sum = sum * t * t + 1 / k;
  return exponent * Math.LN2 + 2 * t * sum;
}
