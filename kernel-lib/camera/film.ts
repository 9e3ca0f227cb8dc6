import type { Aperture } from '../aperture/aperture';
import { SEEN_FROM } from '../light/observer';
import type { CheckedStripOptions } from './strip-options';

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

/** Positions on the film, m, and the direction sine of each. */
interface FilmGeometry {
  readonly positions: Float64Array;
  readonly s: Float64Array;
}

/**
 * Where each direction falls on the film.
 *
 *   x = f tan(θ − θi), s = sin θ − sin θi
 *
 * The camera looks along the undeviated beam, its film at right angles to it in the focal plane;
 * for normal incidence x = f tan θ. The lens is taken as free from distortion.
 */
export function filmGeometry(options: CheckedStripOptions): FilmGeometry {
  const { points, span, focalLength, incidence } = options;
  const positions = new Float64Array(points);
  const s = new Float64Array(points);
  const last = points - 1;
  for (let i = 0; i < points; i++) {
    // From the middle outwards in equal numbers, so that the two sides mirror to the last bit.
    positions[i] = ((2 * i - last) / (2 * last)) * span;
    s[i] = sineAt(positions[i], focalLength, incidence);
  }
  return { positions, s };
}

/** The direction sine s of a place on the film, m. */
export function sineAt(x: number, focalLength: number, incidence: number): number {
  const along = Math.sqrt(x * x + focalLength * focalLength);
  // sin(θi + φ) − sin θi with tan φ = x/f, without cancellation near φ = 0.
  const sinPhi = x / along;
  const cosPhiLess1 = (-x * x) / (along * (along + focalLength));
  return Math.cos(incidence) * sinPhi + Math.sin(incidence) * cosPhiLess1;
}

/** A box narrower than this share of the finest fringe changes the pattern by less than 1e-7. */
const NEGLIGIBLE = 1e-4;

/**
 * Widths in s over which the record is averaged: the image of the source slit, then the film's blur.
 *
 *   source slit  cos θi · width / collimator's focal length
 *   film blur    cos θi · width / camera's focal length
 *
 * Both are exact for small angles about the undeviated beam. Farther out a length on the film covers
 * less of s (by cos³ of the angle to the axis), so there the film's blur is taken slightly too wide.
 */
export function blurBoxes(options: CheckedStripOptions, { slits }: Aperture): number[] {
  const { sourceWidth, collimatorFocalLength, filmBlur, focalLength, incidence } = options;
  const [first, last] = [slits[0], slits[slits.length - 1]];
  const extent = last.centre + last.width / 2 - (first.centre - first.width / 2);
  return [sourceWidth / collimatorFocalLength, filmBlur / focalLength]
    .map((width) => width * Math.cos(incidence))
    .filter((width) => width * extent > NEGLIGIBLE * SEEN_FROM);
}
