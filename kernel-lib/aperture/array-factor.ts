import { sinPi } from '../numerics/sinc';

/**
 * The interference of N equal sources in a row, relative to all in step.
 *
 *   D(u) = sin(N π u) / (N sin(π u)),  u = d s / λ;  ±1 at every whole u
 *
 * Only the distance r of u from the nearest whole number enters, and it is exact, so nothing is lost
 * beside the principal maxima, where numerator and denominator vanish together.
 *
 * @param count number of sources N, a whole number from 1
 * @param u path difference between neighbours in wavelengths, any finite number
 * @returns −1…1
 * @example arrayFactor(2, 0.25) // 0.7071067811865476
 */
export function arrayFactor(count: number, u: number): number {
  if (count === 1) return 1;
  const order = Math.round(u);
  const r = u - order;
  const sign = count % 2 === 0 && order % 2 !== 0 ? -1 : 1;
  if (Math.abs(count * r) < 1e-9) return sign;
  return (sign * sinPi(count * r)) / (count * sinPi(r));
}
