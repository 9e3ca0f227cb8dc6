import { cosPi, sincPi, sinPi } from '../numerics/sinc';
import { powerAhead, requireWavelength } from './amplitude';
import { type Aperture, asComplex, type Complex, soundAperture } from './aperture';
import { requireDirection } from './direction';
import { runs } from './runs';

/** One side of the vector polygon: what one slit adds to the amplitude. */
export interface Phasor {
  /** Where the arrow starts: the sum of the slits before it. */
  readonly from: Complex;
  /** Where it ends. */
  readonly to: Complex;
  /** Length of the arrow. */
  readonly length: number;
  /** Its direction, rad, −π…π; 0 is along the real axis. */
  readonly phase: number;
}

/**
 * The vector polygon: each slit adds an arrow as long as its amplitude, turned by its path difference. The
 * line that closes the polygon is the amplitude, and its square is `intensity`.
 *
 *   arrow j = tⱼ aⱼ sinc(π aⱼ s/λ) exp(−2πi cⱼ s/λ) / |F(0)|
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param s direction sine sin θ − sin θi, −2…2
 * @returns one phasor for each slit, tip to tail in ascending order of centre, starting at 0; at s = 0 equal
 *   slits give N arrows of length 1/N in one line
 * @throws RangeError, TypeError as `intensity`
 * @example phasors(slits(4, { width: 1e-5, spacing: 5e-5 }), 5e-7, 0)[3].to.re // 1
 */
export function phasors(aperture: Aperture, wavelength: number, s: number): Phasor[] {
  const { slits } = soundAperture(aperture);
  const whole = Math.sqrt(powerAhead(runs(aperture)));
  const u = requireDirection(s) / requireWavelength(wavelength);
  let from: Complex = { re: 0, im: 0 };
  return slits.map(({ centre, width, transmission }) => {
    const t = asComplex(transmission);
    const size = (width * sincPi(width * u)) / whole;
    const cos = cosPi(2 * centre * u);
    const sin = sinPi(2 * centre * u);
    const re = size * (t.re * cos + t.im * sin);
    const im = size * (t.im * cos - t.re * sin);
    const start = from;
    from = { re: start.re + re, im: start.im + im };
    return { from: start, to: from, length: Math.hypot(re, im), phase: Math.atan2(im, re) };
  });
}
