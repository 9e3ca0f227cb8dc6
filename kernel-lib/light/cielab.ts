import type { XYZ } from './light';

/** White of D65 at Y = 1, from its chromaticity 0.3127, 0.3290 (IEC 61966-2-1). */
export const D65_WHITE: XYZ = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];

/**
 * CIELAB.
 *
 *   L* = 116 f(Y/Yn) − 16, a* = 500 [f(X/Xn) − f(Y/Yn)], b* = 200 [f(Y/Yn) − f(Z/Zn)]
 *   f(t) = t^(1/3) above (6/29)³, straight below
 *
 * @param colour [X, Y, Z]
 * @param white [Xn, Yn, Zn], default D65 with Y = 1
 * @returns [L*, a*, b*]; L* = 100 for the white
 * @see ISO/CIE 11664-4
 * @example cielab([0.3, 0.4, 0.2]) // [69.4695, -27.969, 33.6798]
 */
export function cielab(colour: XYZ, white: XYZ = D65_WHITE): [number, number, number] {
  const [x, y, z] = colour.map((value, i) => compressed(value / white[i]));
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function compressed(t: number): number {
  return t > (6 / 29) ** 3 ? Math.cbrt(t) : (t * (29 / 6) ** 2) / 3 + 4 / 29;
}
