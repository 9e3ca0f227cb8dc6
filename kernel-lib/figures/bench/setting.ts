import type { LampName } from '../../light/lamp';

/** What can stand before the source slit. */
export type BenchLight = 'filament' | 'sunlight' | 'laser' | LampName;

/** Everything that can be moved on the live bench. Lengths in m, angles in rad. */
export interface BenchSetting {
  /** 'filament', 'sunlight', 'laser', or a lamp: 'sodium', 'mercury', 'cadmium', 'helium', 'hydrogen'. */
  readonly light: BenchLight;
  /** Wavelength of the laser, m. */
  readonly wavelength: number;
  /** Whether a filter that lets one band through stands behind the source. */
  readonly filter: boolean;
  /** Middle of the band, m. */
  readonly bandCentre: number;
  /** Full width of the band at half maximum, m. */
  readonly bandWidth: number;
  /** Width of the source slit, m; 0 for a line. */
  readonly sourceWidth: number;
  readonly collimatorFocalLength: number;
  /** Number of slits. */
  readonly slits: number;
  /** Width of each slit, m. */
  readonly width: number;
  /** Distance of neighbouring slits, centre to centre, m. */
  readonly spacing: number;
  /** Which slit is blocked, counted from 1; 0 for none. */
  readonly blocked: number;
  /** Standard deviation of the slits' places, m. */
  readonly placeError: number;
  /** Which set of chance errors is drawn. */
  readonly ruling: number;
  /** Angle at which the parallel beam meets the aperture, rad. */
  readonly incidence: number;
  /** Focal length of the camera lens, m. */
  readonly focalLength: number;
  /** Length of film shown, m. */
  readonly span: number;
  /** What the middle's strongest channel comes to on the film, 1 being all that it can show; with `absolute`, the middle of one slit alone. */
  readonly exposure: number;
  readonly scale: 'linear' | 'log';
  /** Brightness against the middle of one slit alone, so that it grows with the square of their number; else against the pattern's own middle. */
  readonly absolute: boolean;
  /** Wavelength for order and phasors where the light has more than one, m; always one that the light has. */
  readonly reading: number;
}

/** Where the bench begins. */
export const startSetting: BenchSetting = {
  light: 'filament',
  wavelength: 632.8e-9,
  filter: false,
  bandCentre: 550e-9,
  bandWidth: 40e-9,
  sourceWidth: 0,
  collimatorFocalLength: 0.3,
  slits: 3,
  width: 40e-6,
  spacing: 100e-6,
  blocked: 0,
  placeError: 0,
  ruling: 1,
  incidence: 0,
  focalLength: 0.3,
  span: 16e-3,
  exposure: 1,
  scale: 'linear',
  absolute: false,
  reading: 550e-9,
};

export const benchLights: readonly BenchLight[] = [
  'filament',
  'sunlight',
  'sodium',
  'mercury',
  'cadmium',
  'helium',
  'hydrogen',
  'laser',
];
