import type { BenchSetting } from './setting';

/** The parameters that are numbers. */
export type NumberName = {
  [Name in keyof BenchSetting]: BenchSetting[Name] extends number ? Name : never;
}[keyof BenchSetting];

/** One number on the bench: how it is called, its unit where people read it, and how far it goes. */
export interface Parameter {
  readonly name: NumberName;
  readonly label: string;
  /** As `fromUnit` knows it; `×` for a plain factor, `1` for a count. */
  readonly unit: 'nm' | 'um' | 'mm' | 'deg' | '×' | '1';
  /** Ends of the range, in the unit. */
  readonly low: number;
  readonly high: number;
  /** Step of the slider, in the unit; of a logarithmic slider, of the decimal logarithm. */
  readonly step: number;
  /** The slider moves by ratios. */
  readonly logarithmic?: boolean;
}

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
  { name: 'width', label: 'Slit width', unit: 'um', low: 1, high: 200, step: 1 },
  { name: 'spacing', label: 'Spacing', unit: 'um', low: 2, high: 400, step: 1 },
  { name: 'blocked', label: 'Blocked slit', unit: '1', low: 0, high: 50, step: 1 },
  { name: 'placeError', label: 'Ruling error', unit: 'um', low: 0, high: 20, step: 0.1 },
  { name: 'ruling', label: 'Which ruling', unit: '1', low: 1, high: 99, step: 1 },
  { name: 'incidence', label: 'Incidence', unit: 'deg', low: -75, high: 75, step: 1 },
  {
    name: 'focalLength',
    label: 'Camera, focal length',
    unit: 'mm',
    low: 50,
    high: 2000,
    step: 0.01,
    logarithmic: true,
  },
  {
    name: 'span',
    label: 'Film shown',
    unit: 'mm',
    low: 1,
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
];

/** Every number on the bench by its name. */
export const parameters = Object.fromEntries(list.map((one) => [one.name, one])) as Readonly<
  Record<NumberName, Parameter>
>;
