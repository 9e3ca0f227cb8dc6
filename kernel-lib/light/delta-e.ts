import { requireNumbers } from '../numerics/require';
import type { XYZ } from './light';

/** White of D65 at Y = 1, from its chromaticity 0.3127, 0.3290 (IEC 61966-2-1). */
export const D65_WHITE: XYZ = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];

/**
 * How different two colours look: the CIEDE2000 colour difference, kL = kC = kH = 1.
 *
 *   ΔE₀₀² = (ΔL′/S_L)² + (ΔC′/S_C)² + (ΔH′/S_H)² + R_T (ΔC′/S_C)(ΔH′/S_H)
 *
 * @param one [X, Y, Z]
 * @param other [X, Y, Z]
 * @param white [Xn, Yn, Zn] that both are seen against, default D65 with Y = 1
 * @returns ΔE₀₀; about 1 is just seen, 0 for equal colours
 * @throws RangeError for what is not finite
 * @see ISO/CIE 11664-6
 * @example deltaE([0.3, 0.4, 0.2], [0.3, 0.4, 0.2]) // 0
 */
export function deltaE(one: XYZ, other: XYZ, white: XYZ = D65_WHITE): number {
  for (const [name, colour] of Object.entries({ one, other, white }))
    requireNumbers(name, colour, 'give X, Y, Z as three finite numbers', { count: 3 });
  return ciede2000(cielab(one, white), cielab(other, white));
}

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

const RADIAN = Math.PI / 180;

type Lab = readonly [number, number, number];

/** CIEDE2000 between two CIELAB colours. @see ISO/CIE 11664-6 */
function ciede2000([l1, a1, b1]: Lab, [l2, a2, b2]: Lab): number {
  const meanChroma = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const greyness = 1 + (1 - Math.sqrt(share7(meanChroma))) / 2;
  const [c1, c2] = [Math.hypot(a1 * greyness, b1), Math.hypot(a2 * greyness, b2)];
  const [h1, h2] = [hue(a1 * greyness, b1), hue(a2 * greyness, b2)];
  const achromatic = c1 * c2 === 0;
  const turn = achromatic ? 0 : h2 - h1 - 360 * Math.round((h2 - h1) / 360 - tie(h2 - h1));
  const lightness = (l1 + l2) / 2;
  const chroma = (c1 + c2) / 2;
  const h = achromatic ? h1 + h2 : meanHue(h1, h2);

  const cos = (degrees: number) => Math.cos(degrees * RADIAN);
  const t =
    1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6) - 0.2 * cos(4 * h - 63);
  const away = (lightness - 50) ** 2;
  const dl = (l2 - l1) / (1 + (0.015 * away) / Math.sqrt(20 + away));
  const dc = (c2 - c1) / (1 + 0.045 * chroma);
  const dh = (2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * RADIAN)) / (1 + 0.015 * chroma * t);
  const twist = 30 * Math.exp(-(((h - 275) / 25) ** 2));
  const rotation = -2 * Math.sqrt(share7(chroma)) * Math.sin(2 * twist * RADIAN);
  return Math.sqrt(dl ** 2 + dc ** 2 + dh ** 2 + rotation * dc * dh);
}

/** C⁷/(C⁷ + 25⁷). */
function share7(chroma: number): number {
  return chroma ** 7 / (chroma ** 7 + 25 ** 7);
}

/** Hue angle, degrees from 0 to 360. */
function hue(a: number, b: number): number {
  const degrees = Math.atan2(b, a) / RADIAN;
  return degrees < 0 ? degrees + 360 : degrees;
}

/** Exactly opposite hues turn by +180 in either order's own sign, so rounding must not turn them over. */
function tie(difference: number): number {
  return Math.abs(difference) === 180 ? Math.sign(difference) / 4 : 0;
}

function meanHue(h1: number, h2: number): number {
  const mean = (h1 + h2) / 2;
  if (Math.abs(h1 - h2) <= 180) return mean;
  return mean < 180 ? mean + 180 : mean - 180;
}
