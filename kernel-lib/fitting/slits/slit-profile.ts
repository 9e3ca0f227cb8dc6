import type { Random } from '../../numerics/random';
import { requirePositive, requireWhole } from '../../numerics/require';
import type { Profile } from '../profile';
import type { BlurShape } from './blur';
import { softPattern } from './soft-pattern';

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
