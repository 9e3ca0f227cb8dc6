import type { Aperture } from '../../kernel-lib/aperture/aperture';
import { intensity } from '../../kernel-lib/aperture/intensity';
import type { ChannelSum } from '../../kernel-lib/camera/spline';

/** Three channels at one s by the plain sum over wavelengths, relative to 1 of the middle one at s = 0. */
export function plainSum(aperture: Aperture, light: ChannelSum, s: number): number[] {
  const sum = [0, 0, 0];
  let ahead = 0;
  light.wavelengths.forEach((wavelength, i) => {
    const relative = intensity(aperture, wavelength, s);
    for (let c = 0; c < 3; c++) sum[c] += light.weights[3 * i + c] * relative;
    ahead += light.weights[3 * i + 1];
  });
  return sum.map((value) => value / ahead);
}
