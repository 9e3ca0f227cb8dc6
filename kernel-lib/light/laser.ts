import { requirePositive } from '../numerics/require';
import type { Light } from './light';

/**
 * One wavelength, such as a laser gives. Never let a laser's beam, or its reflection, meet an eye.
 *
 * @param wavelength λ in air, m: 360–830 nm is seen
 * @throws RangeError when it is not a finite number above 0, or so large that it was not metres
 * @example laser(632.8e-9).lines[0].wavelength // 6.328e-7
 */
export function laser(wavelength: number): Light {
  requirePositive('The wavelength of the laser', wavelength, 'give metres, such as 632.8e-9');
  if (wavelength > 1e-3) {
    throw new RangeError(
      `The wavelength of the laser is ${wavelength} m: that is no light. Give metres, such as 632.8e-9 or nm(632.8).`,
    );
  }
  const nanometres = Number((wavelength * 1e9).toFixed(3));
  return { name: `laser ${nanometres} nm`, medium: 'air', lines: [{ wavelength, power: 1 }] };
}
