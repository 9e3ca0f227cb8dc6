import { requirePositive } from '../numerics/require';
import { cosPi, sincPi, sinPi } from '../numerics/sinc';
import type { Aperture, Complex } from './aperture';
import { requireDirection } from './direction';
import { type Run, runs } from './runs';

/**
 * Amplitude of the far field: the sum of the wavelets from every point of every slit.
 *
 *   F(s) = ∫ t(x) exp(−2πi x s/λ) dx = Σ tⱼ aⱼ sinc(π aⱼ s/λ) exp(−2πi cⱼ s/λ)
 *
 * @param aperture slits of width a, centre c, transmission t
 * @param wavelength λ, m
 * @param s direction sine sin θ − sin θi, −2…2
 * @returns F, m; its square over that at s = 0 is `intensity`
 * @throws RangeError, TypeError for an unsound aperture, a wavelength not in 0…1 m, s not in −2…2
 * @example amplitude(slits(1, { width: 4e-5 }), 5e-7, 0).re // 0.00004
 */
export function amplitude(aperture: Aperture, wavelength: number, s: number): Complex {
  const list = runs(aperture);
  return sumInto({ re: 0, im: 0 }, list, requireDirection(s) / requireWavelength(wavelength));
}

/** F of runs at u = s/λ, written into `out`: profiles ask for many. */
function sumInto(out: Sum, list: readonly Run[], u: number): Sum {
  let re = 0;
  let im = 0;
  for (let i = 0; i < list.length; i++) {
    const run = list[i];
    const size = wavelets(run, u);
    const cos = cosPi(2 * run.middle * u);
    const sin = sinPi(2 * run.middle * u);
    re += size * (run.re * cos + run.im * sin);
    im += size * (run.im * cos - run.re * sin);
  }
  out.re = re;
  out.im = im;
  return out;
}

interface Sum {
  re: number;
  im: number;
}

const scratch: Sum = { re: 0, im: 0 };

/** Amplitude of a run seen from its own middle, for transmission 1: N a sinc(πau) D(du), m; u = s/λ, 1/m. */
function wavelets({ count, width, spacing }: Run, u: number): number {
  return count * width * sincPi(width * u) * arrayFactor(count, spacing * u);
}

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

/** |F|² of runs at u = s/λ, m². */
export function power(list: readonly Run[], u: number): number {
  if (list.length === 1) {
    const [{ re, im }] = list;
    return wavelets(list[0], u) ** 2 * (re * re + im * im);
  }
  const { re, im } = sumInto(scratch, list, u);
  return re * re + im * im;
}

/** |F|² straight ahead, m²: what intensities are relative to. @throws RangeError when the amplitudes cancel there */
export function powerAhead(list: readonly Run[]): number {
  const ahead = power(list, 0);
  let most = 0;
  for (const { count, width, re, im } of list) most += count * width * Math.hypot(re, im);
  if (ahead > 1e-24 * most * most) return ahead;
  throw new RangeError(
    'The slits of this aperture cancel one another at s = 0, so no intensity relative to s = 0 exists: ' +
      'use amplitude(), or change the transmissions.',
  );
}

/** Passes a wavelength through. */
export function requireWavelength(wavelength: number): number {
  requirePositive('The wavelength', wavelength, 'give it in metres, such as 550e-9');
  if (wavelength < 1) return wavelength;
  throw new RangeError(
    `The wavelength must be in metres and below 1 m, but ${wavelength} was given: ` +
      'write nanometres as 550e-9.',
  );
}
