import type { LampName } from '../../light/lamp';

/** What can stand before the source slit. */
export type BenchLight = 'sunlight' | 'filament' | 'laser' | LampName;

/** Everything that can be moved on the live bench. Lengths in m, angles in rad. */
export interface BenchSetting {
  /** 'sunlight', 'filament', 'laser', or a lamp: 'sodium', 'mercury', 'cadmium', 'helium', 'hydrogen'. */
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
  /** Factor on the brightness. */
  readonly exposure: number;
  readonly scale: 'linear' | 'log';
  /** Wavelength for order and phasors where the light has more than one, m. */
  readonly reading: number;
}

/** Where the bench begins. */
export const startSetting: BenchSetting = {
  light: 'sunlight',
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
  reading: 550e-9,
};

export const benchLights: readonly BenchLight[] = [
  'sunlight',
  'filament',
  'sodium',
  'mercury',
  'cadmium',
  'helium',
  'hydrogen',
  'laser',
];
