/** What the camera records behind the aperture: colour against position. Arrays run over the positions. */
export interface FilmStrip {
  /** Position on the film, m, ascending; 0 is the image of the source slit. */
  readonly positions: Float64Array;
  /** Direction sine s = sin θ − sin θi of each position. */
  readonly s: Float64Array;
  /** X, Y, Z of each position, interleaved (3 per position), relative to Y = 1 at s = 0, before exposure. */
  readonly xyz: Float64Array;
  /** R, G, B of each position, interleaved, 0…255, after exposure. */
  readonly srgb: Uint8ClampedArray;
  /** 1 at each position that got more light than the film can show, 0 elsewhere. */
  readonly burntOut: Uint8Array;
  /** Power of all wavelengths seen (360–830 nm) together, relative to s = 0. */
  readonly total: Float64Array;
  /** One sentence that says what is seen, with numbers. */
  readonly alt: string;
  /** The caution of the light, where it has one. */
  readonly caution?: string;
}
