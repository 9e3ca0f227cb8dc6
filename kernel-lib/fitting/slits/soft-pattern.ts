import { integrate } from '../../numerics/quadrature';
import { requireFinite } from '../../numerics/require';
import { sincPi } from '../../numerics/sinc';
import { type BlurShape, squareFor } from './blur';

/** Slits and blur of a made-up measurement, SI units. */
export interface SoftPatternSetting {
  readonly count: number;
  readonly width: number;
  readonly spacing?: number;
  readonly wavelength: number;
  readonly focalLength: number;
  readonly visibility?: number;
  readonly blur?: number;
  readonly blurShape?: BlurShape;
}

/** Neighbouring slits of a made-up measurement keep this visibility when nothing is said. */
const usualVisibility = 0.95;

/**
 * The pattern of N slits as it is with a source of finite width or a film that blurs: an integral over the places that the
 * pattern is smeared from, taken anew at each position.
 *
 *   I(x) = ∫ g(t) J(s(x) + t/f) dt,  J(s) = sinc²(a s/λ) [sin(πN d s/λ) / (N sin(π d s/λ))]²,  s = x/√(x² + f²)
 *
 * g: a box of width b, or a Gaussian of full width b at half height. Told by `blur`, or by the visibility of neighbouring
 * slits that is left of it.
 *
 * @returns brightness at a distance x (m) from the middle; 1 in the middle of a sharp pattern
 */
export function softPattern(setting: SoftPatternSetting): (x: number) => number {
  const { count, width, spacing = 0, wavelength, focalLength } = setting;
  const { blurShape: shape = 'box' } = setting;
  const blur = blurWidth(setting, shape);
  const sharp = (s: number) => {
    const envelope = sincPi((width * s) / wavelength);
    if (count === 1) return envelope ** 2;
    // From the nearest bright fringe: the quotient of two small sines would be rounding.
    const order = (spacing * s) / wavelength;
    const off = order - Math.round(order);
    return (envelope * (sincPi(count * off) / sincPi(off))) ** 2;
  };
  const sine = (x: number) => x / Math.hypot(x, focalLength);
  if (blur === 0) return (x) => sharp(sine(x));
  const half = blur / focalLength / 2;
  if (shape === 'box') {
    return (x) => integrate((t) => sharp(sine(x) + t * half), -1, 1, { tolerance: 1e-10 }) / 2;
  }
  // In halves of the width: 2^(−t²) is one half at t = 1, and 4e-13 at 6.4.
  const reach = 6.4;
  const total = Math.sqrt(Math.PI / Math.LN2);
  return (x) =>
    integrate((t) => 2 ** -(t * t) * sharp(sine(x) + t * half), -reach, reach, {
      tolerance: 1e-10,
    }) / total;
}

/** Full width of the blur on the screen, m. */
function blurWidth(setting: SoftPatternSetting, shape: BlurShape): number {
  const { count, spacing = 0, wavelength, focalLength, blur } = setting;
  if (shape !== 'box' && shape !== 'gaussian') {
    throw new RangeError(`blurShape is ${JSON.stringify(shape)}: choose 'box' or 'gaussian'.`);
  }
  if (blur !== undefined) {
    if (setting.visibility !== undefined) {
      throw new RangeError(
        'Both blur and visibility were given, but the one follows from the other: leave one of them out.',
      );
    }
    requireFinite('blur', blur, 'give a width on the screen in metres, 0 for none');
    if (blur >= 0) return blur;
    throw new RangeError(`blur is ${blur} m, but a width is 0 or more: give 0 for none.`);
  }
  const { visibility = usualVisibility } = setting;
  requireFinite('visibility', visibility, 'give a number from 0 to 1');
  const least = shape === 'box' ? 0 : 1e-6;
  if (visibility < least || visibility > 1) {
    throw new RangeError(
      `visibility is ${visibility}: give a number from ${least} to 1, which is that of a line source.`,
    );
  }
  if (count === 1) return 0;
  return (Math.sqrt(squareFor(shape, visibility)) * wavelength * focalLength) / spacing;
}
