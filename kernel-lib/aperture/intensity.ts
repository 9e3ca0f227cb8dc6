import { power, powerAhead, requireDirection, requireWavelength } from './amplitude';
import type { Aperture } from './aperture';
import { runs } from './runs';

/**
 * Intensity of the far field (Fraunhofer diffraction), relative to that at s = 0. For N equal slits of
 * width a and spacing d it is one slit's envelope times the interference of N sources:
 *
 *   I(s) = sinc²(π a s/λ) · [sin(N π d s/λ) / (N sin(π d s/λ))]²
 *
 * and for any other aperture the square of the sum over its slits. It is exact at s = 0 and at every
 * principal maximum.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param s direction sine sin θ − sin θi, −2…2
 * @returns relative intensity, 1 at s = 0, never negative
 * @throws RangeError, TypeError for an unsound aperture, a wavelength not in 0…1 m, s not in −2…2, or an
 *   aperture whose amplitudes cancel at s = 0
 * @example intensity(slits(1, { width: 2e-6 }), 550e-9, 0.75 * 550e-9 / 2e-6 * 2) // 0.045031637174416
 */
export function intensity(aperture: Aperture, wavelength: number, s: number): number {
  const list = runs(aperture);
  return power(list, requireDirection(s) / requireWavelength(wavelength)) / powerAhead(list);
}
