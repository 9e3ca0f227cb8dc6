import type { LampName } from '../../light/lamp';
import { readAngle } from '../../quantity/angle';
import { formatNumber } from '../../quantity/format-number';
import { fromUnit, toUnit } from '../../quantity/known-unit';

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
  /** What the light meets: slits and film behind a lens, slits and a screen without one, nothing but the lens and the film, or a grating on a spectrometer's table. */
  readonly stand: Stand;
  /** What makes the beam parallel: the collimator, or nothing but the distance of the source slit. */
  readonly beam: 'collimator' | 'distance';
  /** Distance of the source slit before the slits where there is no collimator, m. */
  readonly sourceDistance: number;
  /** Distance of a screen behind the slits, m. */
  readonly screenDistance: number;
  /** Opening of the camera lens where no slits stand before it, m. */
  readonly lensDiameter: number;
  /** Width on the film over which its record runs together where no slits stand in the beam, m. */
  readonly blur: number;
  /** Lines of the grating in each millimetre. */
  readonly linesPerMm: number;
  /** Number of the grating's lines that the beam meets. */
  readonly ruled: number;
  /** Direction of the telescope from the straight beam, rad. */
  readonly telescope: number;
  /** Angle that its eyepiece shows from edge to edge, rad. */
  readonly field: number;
  /** What the first vernier reads where the telescope looks straight at the slit, rad. */
  readonly circleZero: number;
  /** Largest error of a vernier by the circle's offset centre, rad. */
  readonly eccentricity: number;
  /** Direction of that offset on the circle, rad. */
  readonly offCentre: number;
  /** What the verniers are read to: 1′, 30″, 20″ or 10″. */
  readonly vernier: VernierName;
  /** Line of the verniers that the magnifiers stand over, counted from 0. */
  readonly magnifier: number;
  /** Whether the bench tells what is to be read. */
  readonly readings: boolean;
}

export const stands = ['film', 'screen', 'open', 'spectrometer'] as const;
export type Stand = (typeof stands)[number];

/** Least counts of the bench's verniers. */
export type VernierName = '1min' | '30sec' | '20sec' | '10sec';
export const verniers: Readonly<Record<VernierName, number>> = {
  '1min': Math.PI / 10800,
  '30sec': Math.PI / 21600,
  '20sec': Math.PI / 32400,
  '10sec': Math.PI / 64800,
};

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
  stand: 'film',
  beam: 'collimator',
  sourceDistance: 3,
  screenDistance: 0.1,
  lensDiameter: 0.01,
  blur: 0,
  linesPerMm: 600,
  ruled: 12000,
  telescope: Math.PI / 9,
  field: Math.PI / 60,
  circleZero: 0,
  eccentricity: 0,
  offCentre: 0,
  vernier: '1min',
  magnifier: 0,
  readings: false,
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

/** The parameters that are numbers. */
export type NumberName = {
  [Name in keyof BenchSetting]: BenchSetting[Name] extends number ? Name : never;
}[keyof BenchSetting];

/** One number on the bench: how it is called, its unit where people read it, and how far it goes. */
export interface Parameter {
  readonly name: NumberName;
  readonly label: string;
  /** As `fromUnit` knows it; `×` for a plain factor, `1` for a count, `/mm` for a count in each millimetre. */
  readonly unit: 'nm' | 'um' | 'mm' | 'deg' | '×' | '1' | '/mm';
  /** Ends of the range, in the unit. */
  readonly low: number;
  readonly high: number;
  /** Step of the slider, in the unit; of a logarithmic slider, of the decimal logarithm. */
  readonly step: number;
  /** The slider moves by ratios. */
  readonly logarithmic?: boolean;
}

/** Far enough that the givens of each sheet with a pattern can be set. */
const list: readonly Parameter[] = [
  { name: 'wavelength', label: 'Laser wavelength', unit: 'nm', low: 380, high: 760, step: 1 },
  { name: 'bandCentre', label: 'Band centre', unit: 'nm', low: 380, high: 760, step: 1 },
  { name: 'bandWidth', label: 'Band width', unit: 'nm', low: 2, high: 300, step: 1 },
  { name: 'sourceWidth', label: 'Source slit', unit: 'um', low: 0, high: 1000, step: 5 },
  {
    name: 'collimatorFocalLength',
    label: 'Collimator, focal length',
    unit: 'mm',
    low: 50,
    high: 2000,
    step: 0.01,
    logarithmic: true,
  },
  { name: 'slits', label: 'Number of slits', unit: '1', low: 1, high: 50, step: 1 },
  { name: 'width', label: 'Slit width', unit: 'um', low: 1, high: 250, step: 1 },
  { name: 'spacing', label: 'Spacing', unit: 'um', low: 2, high: 600, step: 1 },
  { name: 'blocked', label: 'Blocked slit', unit: '1', low: 0, high: 50, step: 1 },
  { name: 'placeError', label: 'Ruling error', unit: 'um', low: 0, high: 20, step: 0.1 },
  { name: 'ruling', label: 'Which ruling', unit: '1', low: 1, high: 99, step: 1 },
  { name: 'incidence', label: 'Incidence', unit: 'deg', low: -75, high: 75, step: 1 },
  {
    name: 'focalLength',
    label: 'Camera, focal length',
    unit: 'mm',
    low: 50,
    high: 3000,
    step: 0.01,
    logarithmic: true,
  },
  {
    name: 'span',
    label: 'Film shown',
    unit: 'mm',
    low: 0.1,
    high: 200,
    step: 0.01,
    logarithmic: true,
  },
  {
    name: 'exposure',
    label: 'Exposure',
    unit: '×',
    low: 1e-4,
    high: 1000,
    step: 0.02,
    logarithmic: true,
  },
  { name: 'reading', label: 'Read at wavelength', unit: 'nm', low: 380, high: 760, step: 1 },
  {
    name: 'sourceDistance',
    label: 'Source slit, distance',
    unit: 'mm',
    low: 200,
    high: 50000,
    step: 0.01,
    logarithmic: true,
  },
  {
    name: 'screenDistance',
    label: 'Screen, distance',
    unit: 'mm',
    low: 1,
    high: 30000,
    step: 0.01,
    logarithmic: true,
  },
  { name: 'lensDiameter', label: 'Lens, opening', unit: 'mm', low: 0.5, high: 50, step: 0.5 },
  { name: 'blur', label: 'Film runs together', unit: 'um', low: 0, high: 300, step: 1 },
  { name: 'linesPerMm', label: 'Lines per mm', unit: '/mm', low: 10, high: 2400, step: 10 },
  {
    name: 'ruled',
    label: 'Lines in the beam',
    unit: '1',
    low: 10,
    high: 50000,
    step: 0.05,
    logarithmic: true,
  },
  { name: 'telescope', label: 'Telescope', unit: 'deg', low: -165, high: 165, step: 0.1 },
  {
    name: 'field',
    label: 'Field of view',
    unit: 'deg',
    low: 0.01,
    high: 12,
    step: 0.01,
    logarithmic: true,
  },
  { name: 'circleZero', label: 'Circle’s zero', unit: 'deg', low: 0, high: 360, step: 1 },
  { name: 'eccentricity', label: 'Eccentricity', unit: 'deg', low: 0, high: 0.1, step: 0.005 },
  { name: 'offCentre', label: 'Offset towards', unit: 'deg', low: -180, high: 360, step: 5 },
  { name: 'magnifier', label: 'Magnifier on line', unit: '1', low: 0, high: 60, step: 1 },
];

/** Every number on the bench by its name. */
export const parameters = Object.fromEntries(list.map((one) => [one.name, one])) as Readonly<
  Record<NumberName, Parameter>
>;

const plain = (unit: Parameter['unit']) => unit === '×' || unit === '1' || unit === '/mm';
const suffixes: Record<Parameter['unit'], string> = {
  nm: ' nm',
  um: ' µm',
  mm: ' mm',
  deg: '°',
  '×': '×',
  '1': '',
  '/mm': ' /mm',
};

/** The number of units that a person reads, freed from rounding in the last digits. */
export function inUnit(parameter: Parameter, value: number): number {
  const number = plain(parameter.unit) ? value : toUnit(value, parameter.unit);
  return Number(number.toPrecision(12));
}

/** The value in SI units of so many units. */
export function fromUnits(parameter: Parameter, number: number): number {
  return plain(parameter.unit) ? number : fromUnit(number, parameter.unit);
}

/** A value as it stands in its field: `40 µm`, `4×`, `12.5°`. */
export function writeValue(parameter: Parameter, value: number): string {
  return formatNumber(inUnit(parameter, value), 7) + suffixes[parameter.unit];
}

/**
 * What was typed into a parameter's field. A number alone is in the parameter's own unit; another
 * unit of length may follow, and an angle may be in ° ′ ″.
 *
 * @param parameter which
 * @param text such as `40`, `40 µm`, `0,04 mm`, `12° 30′`
 * @returns the value, SI, within the parameter's range
 * @throws RangeError with a sentence when it cannot be read, is not whole where it must be, or is out of range
 * @example readValue(parameters.width, '0.04 mm') // 0.00004
 */
export function readValue(parameter: Parameter, text: string): number {
  const words = text.trim().replace(/[−–]/g, '-');
  const example = `${writeValue(parameter, fromUnits(parameter, parameter.low))} to ${writeValue(parameter, fromUnits(parameter, parameter.high))}`;
  if (words === '') {
    throw new RangeError(`${parameter.label} is empty: type a value from ${example}.`);
  }
  if (parameter.unit === 'deg' && !/^[-+]?[\d.,]+$/.test(words)) {
    return within(parameter, readAngle(words));
  }
  const parts = /^([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[-+]?\d+)?)\s*(.*)$/i.exec(words);
  if (!parts) {
    throw new RangeError(
      `${parameter.label}: "${text.trim()}" is not a number. Type a value from ${example}.`,
    );
  }
  const number = Number(parts[1].replace(',', '.'));
  return within(parameter, valueWith(parameter, number, parts[2].trim(), text.trim()));
}

function valueWith(parameter: Parameter, number: number, unit: string, text: string): number {
  if (unit === '') return fromUnits(parameter, number);
  if (plain(parameter.unit)) {
    if (parameter.unit === '×' && /^[x×]$/i.test(unit)) return number;
    if (parameter.unit === '/mm' && /^(\/|per) ?mm$/i.test(unit)) return number;
    throw new RangeError(
      `${parameter.label} has no unit, but "${text}" was typed: leave out "${unit}".`,
    );
  }
  const length = /^(nm|um|µm|μm|mm|cm|m)$/.exec(unit);
  if (parameter.unit === 'deg' || !length) {
    throw new RangeError(
      `${parameter.label}: "${unit}" is not a unit of length. Type ${suffixes[parameter.unit].trim()}, or another of nm, µm, mm, cm, m.`,
    );
  }
  return fromUnit(number, unit);
}

/** The value when it is in range and whole where it must be, cleared of rounding. */
export function within(parameter: Parameter, value: number): number {
  const { label, low, high, unit } = parameter;
  const number = typeof value === 'number' ? inUnit(parameter, value) : Number.NaN;
  if (!Number.isFinite(number)) {
    throw new RangeError(`${label} must be a number, but ${String(value)} was given.`);
  }
  if (unit === '1' && !Number.isInteger(number)) {
    throw new RangeError(
      `${label} must be a whole number, but ${formatNumber(number)} was given. Try ${Math.min(high, Math.max(low, Math.round(number)))}.`,
    );
  }
  if (number < low || number > high) {
    const [from, to] = [low, high].map((end) => writeValue(parameter, fromUnits(parameter, end)));
    throw new RangeError(
      `${label} goes from ${from} to ${to}, but ${writeValue(parameter, value)} was given.`,
    );
  }
  return fromUnits(parameter, number);
}
