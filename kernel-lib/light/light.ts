/** One spectral line: wavelength in m (in vacuum unless the light's `medium` says air), power relative to the other lines. */
export interface SpectralLine {
  readonly wavelength: number;
  readonly power: number;
  readonly label?: string;
}

/** A spectrum: a continuous part, lines, or both. */
export interface Light {
  readonly name: string;
  /** Samples of a continuous spectrum: wavelengths in m, ascending; power per metre of wavelength, relative. */
  readonly continuum?: {
    readonly wavelengths: readonly number[];
    readonly power: readonly number[];
  };
  readonly lines?: readonly SpectralLine[];
}
