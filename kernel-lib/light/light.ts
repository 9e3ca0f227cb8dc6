import { requireNotNegative, requirePositive, shown } from '../numerics/require';

/** One spectral line: wavelength in m (in vacuum unless the light's `medium` says air), power relative to the other lines. */
export interface SpectralLine {
  readonly wavelength: number;
  readonly power: number;
  readonly label?: string;
}

/**
 * A spectrum: a continuous part, lines, or both. Where it has both, a line's power and the
 * continuum's power per metre times metres are in the same unit.
 */
export interface Light {
  readonly name: string;
  /**
   * What the wavelengths are counted in; vacuum when left out. All sources of this folder say 'air',
   * since that is where a bench stands: a pattern is made by the wavelength on the bench.
   */
  readonly medium?: 'air' | 'vacuum';
  /** Samples of a continuous spectrum: wavelengths in m, ascending; power per metre of wavelength, relative. Straight between samples, dark outside them. */
  readonly continuum?: {
    readonly wavelengths: readonly number[];
    readonly power: readonly number[];
  };
  readonly lines?: readonly SpectralLine[];
  /** One sentence on how this light hurts people, told where its pictures are shown to a class. */
  readonly caution?: string;
}

/** Tristimulus values X, Y, Z of the CIE 1931 2° observer. */
export type XYZ = readonly [x: number, y: number, z: number];

/** CIE 1931 chromaticity x, y. */
export type Chromaticity = readonly [x: number, y: number];

const checked = new WeakSet<Light>();

/** Refuse a light whose spectrum is empty, out of order, negative or not a number. */
export function checkLight(light: Light): void {
  if (typeof light !== 'object' || light === null) {
    throw new TypeError(
      `A light is an object such as illuminant('A') or laser(633e-9), but ${shown(light)} was given.`,
    );
  }
  if (checked.has(light)) return;
  const { continuum, lines } = light;
  const name = `The light "${light.name}"`;
  if (!continuum?.wavelengths.length && !lines?.length) {
    throw new RangeError(`${name} has an empty spectrum: give it a continuum, lines, or both.`);
  }
  let power = 0;
  if (continuum) power += checkContinuum(name, continuum.wavelengths, continuum.power);
  for (const line of lines ?? []) {
    requirePositive(
      `${name}: the wavelength of a line`,
      line.wavelength,
      'give metres, such as 589e-9',
    );
    requireNotNegative(
      `${name}: the power of the line at ${line.wavelength} m`,
      line.power,
      'give 0 or more',
    );
    power += line.power;
  }
  if (power === 0) throw new RangeError(`${name} is dark: at least one power must be above 0.`);
  checked.add(light);
}

function checkContinuum(name: string, wavelengths: readonly number[], power: readonly number[]) {
  if (wavelengths.length !== power.length || wavelengths.length < 2) {
    throw new RangeError(
      `${name} has ${wavelengths.length} wavelengths and ${power.length} powers: give as many of the one as of the other, two or more. Single wavelengths go into lines.`,
    );
  }
  let sum = 0;
  for (let i = 0; i < power.length; i++) {
    requirePositive(`${name}: wavelength ${i + 1}`, wavelengths[i], 'give metres, such as 550e-9');
    requireNotNegative(`${name}: power ${i + 1}`, power[i], 'give 0 or more');
    if (i > 0 && wavelengths[i] <= wavelengths[i - 1]) {
      throw new RangeError(
        `${name}: wavelength ${i + 1} is ${wavelengths[i]} m and does not lie above the one before it, ${wavelengths[i - 1]} m. Sort the samples by wavelength, each once.`,
      );
    }
    sum += power[i];
  }
  return sum;
}
