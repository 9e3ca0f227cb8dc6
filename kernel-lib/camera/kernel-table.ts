import type { SpectralWeights } from '../light/spectral-weights';
import { CHANNELS, type Nodes } from './quintic-cells';

/**
 * Length of a table's cells, m: a 36th of the shortest wavelength seen, which keeps strips within
 * 1e-6 of the plain sum (tests/camera).
 */
export const CELL = 10e-9;

/**
 * The light's kernel, twice integrated, at nodes y = 0, CELL, 2 CELL …
 *
 *   K(y) = ∫ w(λ) cos(2πy/λ) dλ
 *   M(y) = ∫₀ʸ (y − u) K(u) du = ∫ w(λ) (λ/2π)² [1 − cos(2πy/λ)] dλ
 *
 * so value, slope and curvature are M, M′ and K. The odd kernel, which complex transmissions need,
 * has the sine in place of the cosine: M = ∫ w (λ/2π)² [2πy/λ − sin(2πy/λ)] dλ.
 *
 * @param light the light as a sum
 * @param cells number of cells
 * @param odd whether the sine is meant
 */
export function kernelNodes(light: SpectralWeights, cells: number, odd = false): Nodes {
  const { wavelengths, weights } = light;
  const n = wavelengths.length;
  const size = (cells + 1) * CHANNELS;
  const nodes = {
    step: CELL,
    value: new Float64Array(size),
    slope: new Float64Array(size),
    curvature: new Float64Array(size),
  };
  for (let i = 0; i < n; i++) {
    const k = (2 * Math.PI) / wavelengths[i];
    for (let node = 0; node <= cells; node++) {
      const phase = k * CELL * node;
      const [cos, sin] = [Math.cos(phase), Math.sin(phase)];
      const value = odd ? phase - sin : 1 - cos;
      const slope = odd ? 1 - cos : sin;
      const curvature = odd ? sin : cos;
      for (let c = 0; c < CHANNELS; c++) {
        const w = weights[CHANNELS * i + c];
        nodes.value[CHANNELS * node + c] += (w * value) / (k * k);
        nodes.slope[CHANNELS * node + c] += (w * slope) / k;
        nodes.curvature[CHANNELS * node + c] += w * curvature;
      }
    }
  }
  return nodes;
}
