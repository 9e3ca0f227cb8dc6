import type { CheckedStripOptions } from './strip-options';

/** Positions on the film, m, and the direction sine of each. */
export interface FilmGeometry {
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
    const x = ((2 * i - last) / (2 * last)) * span;
    positions[i] = x;
    const along = Math.hypot(x, focalLength);
    // sin(θi + φ) − sin θi with tan φ = x/f, without cancellation near φ = 0.
    const [sinPhi, cosPhiLess1] = [x / along, (-x * x) / (along * (along + focalLength))];
    s[i] = Math.cos(incidence) * sinPhi + Math.sin(incidence) * cosPhiLess1;
  }
  return { positions, s };
}
