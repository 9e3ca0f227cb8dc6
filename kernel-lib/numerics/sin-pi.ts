/**
 * sin πx, with x reduced before π enters, so that it is exactly 0 at every integer.
 *
 * @param x any finite number, in half turns
 * @returns −1…1
 * @example sinPi(1e6 + 0.5) // 1
 */
export function sinPi(x: number): number {
  const r = x - 2 * Math.round(x / 2);
  if (r > 0.5) return Math.sin(Math.PI * (1 - r));
  if (r < -0.5) return -Math.sin(Math.PI * (1 + r));
  return Math.sin(Math.PI * r);
}

/**
 * cos πx, exactly 0 at every odd half.
 *
 * @param x any finite number, in half turns
 * @returns −1…1
 * @example cosPi(1.5) // 0
 */
export function cosPi(x: number): number {
  const r = Math.abs(x - 2 * Math.round(x / 2));
  if (r <= 0.25) return Math.cos(Math.PI * r);
  if (r < 0.75) return Math.sin(Math.PI * (0.5 - r));
  return -Math.cos(Math.PI * (1 - r));
}
