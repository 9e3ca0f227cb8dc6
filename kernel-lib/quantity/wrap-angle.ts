const turn = 2 * Math.PI;

/**
 * The same direction between 0 and below 360°.
 *
 * @param angle rad, finite
 * @returns rad, 0 ≤ result < 2π
 * @throws TypeError when the angle is not a finite number
 * @example wrapAngle(-Math.PI / 2) // 4.71238898…
 */
export function wrapAngle(angle: number): number {
  if (typeof angle !== 'number' || !Number.isFinite(angle))
    throw new TypeError(`wrapAngle takes an angle in rad; it was given ${String(angle)}.`);
  const rest = angle % turn;
  const wrapped = rest < 0 ? rest + turn : rest;
  return wrapped >= turn || wrapped === 0 ? 0 : wrapped;
}

/**
 * The same direction between above −180° and 180°: the short way from one reading to another.
 *
 * @param angle rad, finite
 * @returns rad, −π < result ≤ π
 * @throws TypeError when the angle is not a finite number
 * @example wrapAngleSigned(1.5 * Math.PI) // -1.57079632…
 */
export function wrapAngleSigned(angle: number): number {
  const wrapped = wrapAngle(angle);
  return wrapped > Math.PI ? wrapped - turn : wrapped;
}
