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
