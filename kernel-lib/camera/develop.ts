import type { XYZ } from '../light/light';
import { decoded, encoded, paled } from '../light/srgb';
import type { Adaptation } from '../light/white-balance';
import { once } from '../numerics/once';
import type { CheckedStripOptions } from './strip-options';

const LEVELS = 1 << 14;

/** 8-bit level of each linear value 0, 1/LEVELS … 1: the steps are finer than half a level everywhere. */
const levels = once(() =>
  Uint8Array.from({ length: LEVELS + 1 }, (_, i) => Math.round(255 * encoded(i / LEVELS))),
);

/** Light above this is lost: half a level of the screen, whose curve has the slope 1.055/2.4 there. */
const FULL = 1 + 0.5 / 255 / (1.055 / 2.4);

/** What the film shows, and where it got more light than it can show. */
export interface Developed {
  /** R, G, B of each position, interleaved, 0…255. */
  readonly srgb: Uint8ClampedArray;
  /** 1 where burnt out, else 0. */
  readonly burntOut: Uint8Array;
}

/**
 * Colours as the film shows them after exposure.
 *
 * Colours outside the screen's are paled with their hue kept, as `srgb` does. Of each, the strongest of
 * the three linear channels, c, is taken relative to that of the middle, c₀, so that an exposure means
 * the same in a laser's red as in white. It is set, and the others with it in proportion, which keeps
 * hue and chromaticity:
 *
 *   m = exposure · c/c₀
 *   linear   min(1, m): true until it is burnt out, above 1
 *   log      encoded level 1 + log₁₀(m)/decades, within 0…1
 *
 * @param xyz X, Y, Z interleaved, relative to Y = 1 in the middle
 * @param middle X, Y, Z of the middle
 * @param adaptation the camera's white balance, if any
 */
export function develop(
  xyz: Float64Array,
  middle: XYZ,
  { exposure, scale, decades }: Pick<CheckedStripOptions, 'exposure' | 'scale' | 'decades'>,
  adaptation: Adaptation | undefined,
): Developed {
  const rgb = new Float64Array(3);
  const balance = adaptation ?? UNCHANGED;
  balanced(balance, middle[0], middle[1], middle[2], rgb);
  const gain = exposure / Math.max(rgb[0], rgb[1], rgb[2]);
  const A = balance.map((value) => value * gain);
  const table = levels();
  const srgb = new Uint8ClampedArray(xyz.length);
  const burntOut = new Uint8Array(xyz.length / 3);
  for (let i = 0, j = xyz.length - 3; i < xyz.length; i += 3, j -= 3) {
    const x = xyz[i];
    const y = xyz[i + 1];
    const z = xyz[i + 2];
    if (j < i && x === xyz[j] && y === xyz[j + 1] && z === xyz[j + 2]) {
      // The mirror image of a position already done.
      srgb[i] = srgb[j];
      srgb[i + 1] = srgb[j + 1];
      srgb[i + 2] = srgb[j + 2];
      burntOut[i / 3] = burntOut[j / 3];
      continue;
    }
    balanced(A, x, y, z, rgb);
    const most = Math.max(rgb[0], rgb[1], rgb[2]);
    if (!(most > 0)) continue;
    if (most > FULL) burntOut[i / 3] = 1;
    const set = scale === 'log' ? logarithmic(most, decades) : Math.min(1, most);
    const factor = (set / most) * LEVELS;
    for (let c = 0; c < 3; c++) srgb[i + c] = table[(rgb[c] * factor + 0.5) | 0];
  }
  return { srgb, burntOut };
}

const UNCHANGED: Adaptation = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** Linear sRGB of X, Y, Z after white balance, no channel below 0, written into `rgb`. */
function balanced(A: Adaptation, x: number, y: number, z: number, rgb: Float64Array): void {
  paled(
    A[0] * x + A[1] * y + A[2] * z,
    A[3] * x + A[4] * y + A[5] * z,
    A[6] * x + A[7] * y + A[8] * z,
    rgb,
  );
}

function logarithmic(most: number, decades: number): number {
  return decoded(Math.min(1, Math.max(0, 1 + Math.log10(most) / decades)));
}
