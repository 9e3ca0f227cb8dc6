/** A complex amplitude. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

/** One slit: where its middle lies and how wide it is, m; `transmission` is a complex amplitude. */
export interface Slit {
  readonly centre: number;
  readonly width: number;
  readonly transmission: number | Complex;
}

/** What stands in the parallel beam: slits side by side, none overlapping, in ascending order of centre. */
export interface Aperture {
  readonly slits: readonly Slit[];
}
