import type { Aperture } from '../../kernel-lib/aperture/aperture';
import { intensity } from '../../kernel-lib/aperture/intensity';
import type { SpectralWeights } from '../../kernel-lib/light/spectral-weights';

/** X, Y, Z and power at one s by the plain sum over wavelengths, relative to Y = 1 and power = 1 at s = 0. */
export function plainSum(aperture: Aperture, light: SpectralWeights, s: number): number[] {
  const [sum, ahead] = [
    [0, 0, 0, 0],
    [0, 0, 0, 0],
  ];
  light.wavelengths.forEach((wavelength, i) => {
    const relative = intensity(aperture, wavelength, s);
    for (let c = 0; c < 4; c++) {
      sum[c] += light.weights[4 * i + c] * relative;
      ahead[c] += light.weights[4 * i + c];
    }
  });
  return sum.map((value, c) => value / (c === 3 ? ahead[3] : ahead[1]));
}
