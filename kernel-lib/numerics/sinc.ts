import { sinPi } from './sin-pi';

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
  return x === 0 ? 1 : Math.sin(x) / x;
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
  return x === 0 ? 1 : sinPi(x) / (Math.PI * x);
}
