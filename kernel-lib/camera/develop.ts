import { decoded, encoded, paled } from '../light/srgb';
import type { Adaptation } from '../light/white-balance';
import { once } from '../numerics/once';
import type { CheckedStripOptions } from './strip-options';

const LEVELS = 1 << 14;

/** 8-bit level of each linear value 0, 1/LEVELS … 1: the steps are finer than half a level everywhere. */
const levels = once(() =>
  Uint8Array.from({ length: LEVELS + 1 }, (_, i) => Math.round(255 * encoded(i / LEVELS))),
);

/**
 * Colours as the film shows them, 0…255, after exposure.
 *
 * Colours outside the screen's are paled with their hue kept, as `srgb` does. Then the strongest of
 * the three channels, m, is set and the others with it in proportion, which keeps hue and chromaticity:
 *
 *   linear   1 − exp(−m): true when weak, and saturating softly as film does
 *   log      encoded level 1 + log₁₀(m)/decades, within 0…1
 *
 * @param xyz X, Y, Z interleaved
 * @param adaptation the camera's white balance, if any
 */
export function develop(
  xyz: Float64Array,
  { exposure, scale, decades }: Pick<CheckedStripOptions, 'exposure' | 'scale' | 'decades'>,
  adaptation: Adaptation | undefined,
): Uint8ClampedArray {
  const A = (adaptation ?? [1, 0, 0, 0, 1, 0, 0, 0, 1]).map((value) => value * exposure);
  const table = levels();
  const out = new Uint8ClampedArray(xyz.length);
  const rgb = new Float64Array(3);
  for (let i = 0, j = xyz.length - 3; i < xyz.length; i += 3, j -= 3) {
    const x = xyz[i];
    const y = xyz[i + 1];
    const z = xyz[i + 2];
    if (j < i && x === xyz[j] && y === xyz[j + 1] && z === xyz[j + 2]) {
      // The mirror image of a position already done.
      out[i] = out[j];
      out[i + 1] = out[j + 1];
      out[i + 2] = out[j + 2];
      continue;
    }
    paled(
      A[0] * x + A[1] * y + A[2] * z,
      A[3] * x + A[4] * y + A[5] * z,
      A[6] * x + A[7] * y + A[8] * z,
      rgb,
    );
    const most = Math.max(rgb[0], rgb[1], rgb[2]);
    if (!(most > 0)) continue;
    const set = scale === 'log' ? logarithmic(most, decades) : -Math.expm1(-most);
    const factor = (set / most) * LEVELS;
    for (let c = 0; c < 3; c++) out[i + c] = table[(rgb[c] * factor + 0.5) | 0];
  }
  return out;
}

function logarithmic(most: number, decades: number): number {
  return decoded(Math.min(1, Math.max(0, 1 + Math.log10(most) / decades)));
}
