import { encoded, toScreen } from '../light/srgb';
import type { CheckedStripOptions } from './strip-options';

const LEVELS = 1 << 14;
let curve: Uint8Array | undefined;

/** 8-bit level of each linear value 0, 1/LEVELS … 1; finer than one level everywhere. */
function levels(): Uint8Array {
  curve ??= Uint8Array.from({ length: LEVELS + 1 }, (_, i) =>
    Math.round(255 * encoded(i / LEVELS)),
  );
  return curve;
}

/**
 * Colours as the screen shows them, 0…255, after exposure.
 *
 * On the 'log' scale the luminance Y becomes 1 + log₁₀(exposure·Y)/decades, within 0…1, at the same
 * chromaticity.
 *
 * @param xyz X, Y, Z interleaved
 */
export function develop(
  xyz: Float64Array,
  { exposure, scale, decades }: Pick<CheckedStripOptions, 'exposure' | 'scale' | 'decades'>,
): Uint8ClampedArray {
  const table = levels();
  const out = new Uint8ClampedArray(xyz.length);
  const rgb = new Float64Array(3);
  for (let i = 0; i < xyz.length; i += 3) {
    const factor = scale === 'log' ? logFactor(exposure * xyz[i + 1], decades, exposure) : exposure;
    toScreen(xyz[i] * factor, xyz[i + 1] * factor, xyz[i + 2] * factor, rgb);
    out[i] = table[(rgb[0] * LEVELS + 0.5) | 0];
    out[i + 1] = table[(rgb[1] * LEVELS + 0.5) | 0];
    out[i + 2] = table[(rgb[2] * LEVELS + 0.5) | 0];
  }
  return out;
}

function logFactor(luminance: number, decades: number, exposure: number): number {
  if (!(luminance > 0)) return 0;
  const shown = Math.min(1, Math.max(0, 1 + Math.log10(luminance) / decades));
  return (shown * exposure) / luminance;
}
