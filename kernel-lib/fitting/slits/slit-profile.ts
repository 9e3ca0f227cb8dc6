import { integrate } from '../../numerics/quadrature';
import type { Random } from '../../numerics/random';
import { requireFinite, requirePositive, requireWhole } from '../../numerics/require';
import { sincPi } from '../../numerics/sinc';
import type { Profile } from '../profile';
import { type BlurShape, squareFor } from './blur';

/** What a made-up measurement of a pattern is made of. SI units. */
export interface SlitProfileSetting {
  readonly count: number;
  /** m. */
  readonly width: number;
  /** Centre to centre, m; not needed for one slit. */
  readonly spacing?: number;
  /** m. */
  readonly wavelength: number;
  /** m. */
  readonly focalLength: number;
  /** How many positions, default 400. */
  readonly points?: number;
  /** Length of the record, m, its middle at 0; default 2.4 λ f / a. */
  readonly span?: number;
  /** Position of the pattern's middle, m, default 0. */
  readonly centre?: number;
  /** Signal of the middle above the background, were the pattern sharp, default 1000 counts. */
  readonly amplitude?: number;
  /** Counts, default 2 % of the amplitude. */
  readonly background?: number;
  /** Of neighbouring slits, as a blur leaves it that acts on the whole pattern; default 0.95. One slit has none: see blur. */
  readonly visibility?: number;
  /** The blur itself, in place of the visibility: its full width at half height on the screen, m. */
  readonly blur?: number;
  /** 'box', as a source slit has it (default), or 'gaussian'. */
  readonly blurShape?: BlurShape;
  /** Standard deviation that every point has, counts, default 0.5 % of the amplitude. */
  readonly readNoise?: number;
  /** Standard deviation per root of the signal, counts^½, default 0.5: at 1000 counts 16. */
  readonly shotNoise?: number;
  /** Counts at which the detector is full, default none. */
  readonly full?: number;
}

/**
 * A pattern as a line camera would record it, drawn from a seeded stream.
 *
 * Pattern: N slits, blurred as a source slit of finite width or a film does it, envelope and all: `softPattern`'s integral
 * I(x) = ∫ g(t) J(x + t) dt, with sinc(π b d/λf) left of the fringes by a box, exp(−(π b d/λf)²/(4 ln 2)) by a Gaussian.
 * Noise: to each point a normal deviate of variance readNoise² + shotNoise² · signal is added, and that is the point's u.
 * Where the signal reaches `full` it is cut there and the point marked as saturated. Nothing else is random.
 *
 * @param random stream, such as `seeded(draw.seed('profile'))`
 * @param setting slits, geometry, noise
 * @returns positions in m, signal and its standard uncertainty in counts
 * @throws RangeError for a count, width, spacing, wavelength, focal length, visibility or blur that cannot be
 * @example slitProfile(seeded(1), { count: 3, width: 40e-6, spacing: 1e-4, wavelength: 546e-9, focalLength: 0.5 }).y.length // 400
 */
export function slitProfile(random: Random, setting: SlitProfileSetting): Profile {
  const { count, width, wavelength, focalLength, points = 400, centre = 0 } = setting;
  const { amplitude = 1000, shotNoise = 0.5 } = setting;
  requireWhole('count', count, 1, 1000);
  requireWhole('points', points, 2, 1e6);
  requirePositive('The width', width, 'give it in metres');
  requirePositive('The wavelength', wavelength, 'give it in metres');
  requirePositive('The focal length', focalLength, 'give it in metres');
  if (count > 1 && !((setting.spacing ?? 0) > width)) {
    throw new RangeError(
      `The spacing is ${setting.spacing} m with slits ${width} m wide: centre to centre it must be larger than the width.`,
    );
  }
  const span = setting.span ?? (2.4 * wavelength * focalLength) / width;
  const background = setting.background ?? 0.02 * amplitude;
  const readNoise = setting.readNoise ?? 0.005 * amplitude;
  const x = Float64Array.from({ length: points }, (_, i) => span * (i / (points - 1) - 0.5));
  const pattern = softPattern(setting);
  const y = x.map((place) => background + amplitude * pattern(place - centre));

  const u = y.map((signal) => Math.sqrt(readNoise ** 2 + shotNoise ** 2 * Math.max(signal, 0)));
  const noisy = y.map((signal, i) => signal + u[i] * random.normal());
  const { full = Infinity } = setting;
  const saturated = Uint8Array.from(noisy, (signal) => (signal >= full ? 1 : 0));
  return { x, y: noisy.map((signal) => Math.min(signal, full)), u, saturated };
}

/** Slits and blur of a made-up measurement, SI units. */
interface SoftPatternSetting {
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
