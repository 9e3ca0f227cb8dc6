import type { Aperture } from '../aperture/aperture';
import {
  requireFinite,
  requireKnown,
  requireNotNegative,
  requireOneOf,
  requirePositive,
  requireWhole,
} from '../numerics/require';

/** How the camera stands and what it records; every one has a default. Lengths in m, angles in rad. */
export interface FilmStripOptions {
  /** Focal length f of the camera lens, m. Default 1. */
  readonly focalLength?: number;
  /** Length of film shown, m, its middle at the image of the source slit. Default: to just before the second minimum of green (550 nm) of the narrowest slit. */
  readonly span?: number;
  /** Number of positions, 2…100 000; the middle is one of them when it is odd. Default 1201. */
  readonly points?: number;
  /** What the strongest channel of the middle comes to, 1 being all that the film can show; XYZ and total stay as they are. Default 1. */
  readonly exposure?: number;
  /** 'linear' shows brightness as it is; 'log' shows its logarithm, so that weak spectra are seen. */
  readonly scale?: 'linear' | 'log';
  /** How many powers of ten a 'log' strip shows, from black to full. Default 4. */
  readonly decades?: number;
  /** What the camera shows as white: the light itself ('light'), D65 ('D65'), or 'auto': a white light itself, else D65. Default 'auto'. */
  readonly whiteBalance?: 'auto' | 'light' | 'D65';
  /** Width of the source slit, m. Default 0: a line. */
  readonly sourceWidth?: number;
  /** Focal length of the collimator, m. Default: that of the camera. */
  readonly collimatorFocalLength?: number;
  /** Width on the film over which the record runs together, m. Default 0. */
  readonly filmBlur?: number;
  /** Angle θi at which the parallel beam meets the aperture, rad, −π/2…π/2. Default 0. */
  readonly incidence?: number;
  /**
   * How the strip's sentence tells places: on film behind a lens ('film'), as angles ('angle'), or on a screen without a
   * lens, which stands at the distance `focalLength` ('screen'). Nothing else follows from it. Default 'film'.
   */
  readonly told?: 'film' | 'angle' | 'screen';
}

export type CheckedStripOptions = Required<FilmStripOptions>;

/** The options with their defaults, checked. @throws RangeError, TypeError naming the option and its range */
export function stripOptions(aperture: Aperture, given: FilmStripOptions): CheckedStripOptions {
  requireKnown('filmStrip', given, known);
  const { focalLength = 1 } = given;
  const options = {
    points: 1201,
    exposure: 1,
    scale: 'linear' as const,
    decades: 4,
    whiteBalance: 'auto' as const,
    sourceWidth: 0,
    filmBlur: 0,
    incidence: 0,
    told: 'film' as const,
    span: defaultSpan(aperture, focalLength),
    collimatorFocalLength: focalLength,
    focalLength,
    ...withoutUndefined(given),
  };
  for (const name of ['focalLength', 'span', 'collimatorFocalLength'] as const) {
    requirePositive(name, options[name], 'give a length in metres');
  }
  for (const name of ['sourceWidth', 'filmBlur'] as const) {
    requireNotNegative(name, options[name], 'give a width in metres, 0 for none');
  }
  requirePositive('exposure', options.exposure, 'give a factor such as 4');
  requirePositive('decades', options.decades, 'give how many powers of ten to show, such as 4');
  requireWhole('points', options.points, 2, 100_000);
  requireFinite('incidence', options.incidence, 'give an angle in radians');
  if (Math.abs(options.incidence) >= Math.PI / 2) {
    throw new RangeError(
      `incidence is ${options.incidence} rad, but the beam must meet the aperture from the front: give less than π/2 either way. Was it in degrees?`,
    );
  }
  requireOneOf('whiteBalance', options.whiteBalance, ['auto', 'light', 'D65']);
  requireOneOf('scale', options.scale, ['linear', 'log']);
  requireOneOf('told', options.told, ['film', 'angle', 'screen']);
  return options;
}

const known = [
  'focalLength',
  'span',
  'points',
  'exposure',
  'scale',
  'decades',
  'whiteBalance',
  'sourceWidth',
  'collimatorFocalLength',
  'filmBlur',
  'incidence',
  'told',
];

function withoutUndefined(given: FilmStripOptions): FilmStripOptions {
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
}

function defaultSpan(aperture: Aperture, focalLength: number): number {
  const narrowest = Math.min(...aperture.slits.map((slit) => slit.width));
  return 2 * focalLength * Math.tan(Math.asin(Math.min(0.9, (1.9 * 550e-9) / narrowest)));
}
