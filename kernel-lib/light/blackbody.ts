import { requirePositive } from '../numerics/require';
import type { Light } from './light';

/** Exact since 2019: the SI's defining constants (SI Brochure, 9th edition, section 2.2). */
const PLANCK = 6.62607015e-34; // J s
const SPEED_OF_LIGHT = 299792458; // m/s
const BOLTZMANN = 1.380649e-23; // J/K

/**
 * Spectral radiance of a black body, per metre of wavelength.
 *
 *   L(λ, T) = 2hc²/λ⁵ · 1/(exp(hc/λkT) − 1)
 *
 * @param wavelength λ in vacuum, m (> 0)
 * @param kelvin T, K (> 0)
 * @returns W sr⁻¹ m⁻² m⁻¹
 * @see Planck's law (a fact of the trade); constants: SI Brochure, 9th edition, and CODATA
 * @example planck(500e-9, 5000) // 1.2107e13
 */
export function planck(wavelength: number, kelvin: number): number {
  requirePositive('The wavelength', wavelength, 'give metres, such as 500e-9');
  requirePositive('The temperature', kelvin, 'give kelvin, such as 2856');
  const exponent = (PLANCK * SPEED_OF_LIGHT) / (wavelength * BOLTZMANN * kelvin);
  return (2 * PLANCK * SPEED_OF_LIGHT ** 2) / (wavelength ** 5 * Math.expm1(exponent));
}

/**
 * The light of a black body, 300–900 nm in steps of 1 nm; a tungsten filament comes near it.
 * The wavelengths are taken as those in air: the error, below 0.03 %, is not visible.
 *
 * @param kelvin temperature, K (500 or more: below that nothing is seen)
 * @throws RangeError when it is not a finite number of 500 or above
 * @see Planck's law; at 2856 K its colour is that of illuminant A
 * @example chromaticity(xyz(blackbody(2856))) // [0.4475, 0.4074]
 */
export function blackbody(kelvin: number): Light {
  requirePositive('The temperature', kelvin, 'give kelvin, such as 2856');
  if (kelvin < 500) {
    throw new RangeError(
      `The temperature is ${kelvin} K: a body below 500 K gives no light to see. Give 500 or more; was it in °C?`,
    );
  }
  const wavelengths = Array.from({ length: 601 }, (_, i) => (300 + i) / 1e9);
  const power = wavelengths.map((wavelength) => planck(wavelength, kelvin));
  return { name: `black body at ${kelvin} K`, medium: 'air', continuum: { wavelengths, power } };
}
