import { requireNumbers, requirePositive } from '../../numerics/require';
import { linearFromSrgb } from './srgb-curve';

/** A camera's curve as it was measured: the irradiance that each code stands for, both 0…1 of full scale and rising. */
export interface MeasuredCurve {
  readonly codes: readonly number[];
  readonly light: readonly number[];
  /** Relative standard uncertainty of a ratio of two irradiances read with it. */
  readonly u?: number;
}

/** What undoes a camera's curve: the standard's, none, an exponent γ (light = code^γ), or one that was measured. */
export type CameraCurve = 'sRGB' | 'linear' | number | MeasuredCurve;

/** Linear signal of each code value 0 … full, as a table. */
export function linearTable(curve: CameraCurve = 'sRGB', full: number): Float32Array {
  const undo = undoing(curve);
  return Float32Array.from({ length: full + 1 }, (_, code) => undo(code / full));
}

function undoing(curve: CameraCurve): (code: number) => number {
  if (curve === 'sRGB') return linearFromSrgb;
  if (curve === 'linear') return (code) => code;
  if (typeof curve === 'number') {
    requirePositive(
      "The exponent of the camera's curve",
      curve,
      'give γ of light = code^γ, such as 2.2',
    );
    return (code) => code ** curve;
  }
  const { codes, light } = curve ?? {};
  requireNumbers('curve.codes', codes, 'codes from 0 to 1', { least: 2 });
  requireNumbers('curve.light', light, 'light from 0 to 1', { count: codes.length });
  for (let k = 1; k < codes.length; k++) {
    if (codes[k] > codes[k - 1] && light[k] >= light[k - 1]) continue;
    throw new RangeError(
      `The camera's curve must rise, but its point ${k + 1} (code ${codes[k]}, light ${light[k]}) does not lie above the one before.`,
    );
  }
  return (code) => {
    let k = 1;
    while (k < codes.length - 1 && codes[k] < code) k++;
    const part = (code - codes[k - 1]) / (codes[k] - codes[k - 1]);
    return light[k - 1] + part * (light[k] - light[k - 1]);
  };
}
