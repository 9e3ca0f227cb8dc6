import { requireWhole } from '../numerics/require';
import { cosPi, sinPi } from '../numerics/sin-pi';
import { sincPi } from '../numerics/sinc';
import { power, powerAhead, requireDirection, requireWavelength } from './amplitude';
import type { Aperture } from './aperture';
import { arrayFactor } from './array-factor';
import { type Run, runs } from './runs';

/**
 * `intensity` at many direction sines at once. Equal slits take three sines a point. Other apertures take
 * one complex product a slit and point where s is evenly spaced, since the phase of each slit then turns
 * by the same angle from point to point. Nothing is allocated per point.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param s direction sines, in any order
 * @returns relative intensities, one for each s, within 1e-12 of `intensity`
 * @throws RangeError, TypeError as `intensity`
 * @example intensityProfile(slits(1, { width: 4e-5 }), 5e-7, [0, 0.0125])[0] // 1
 */
export function intensityProfile(
  aperture: Aperture,
  wavelength: number,
  s: ArrayLike<number>,
): Float64Array {
  const list = runs(aperture);
  const ahead = powerAhead(list);
  requireWavelength(wavelength);
  requireWhole('The number of direction sines', s?.length, 0, Infinity);
  for (let i = 0; i < s.length; i++) if (!Number.isFinite(s[i])) requireDirection(s[i]);

  const profile = new Float64Array(s.length);
  const step = list.length > 1 ? evenStep(s) : undefined;
  if (step === undefined) {
    for (let i = 0; i < s.length; i++) profile[i] = power(list, s[i] / wavelength) / ahead;
  } else {
    sumByTurning(profile, list, s[0] / wavelength, step / wavelength);
    for (let i = 0; i < s.length; i++) profile[i] /= ahead;
  }
  return profile;
}

// Points between two phases taken afresh: long enough to save sines, short enough to keep 1e-14.
const block = 64;

/** Fills `profile` with |F|² at u₀ + k·du, adding run after run; each phase turns by exp(−2πi c du) a point. */
function sumByTurning(
  profile: Float64Array,
  list: readonly Run[],
  start: number,
  du: number,
): void {
  const re = new Float64Array(block);
  const im = new Float64Array(block);
  const envelope = new Float64Array(block);
  for (let from = 0; from < profile.length; from += block) {
    const points = Math.min(block, profile.length - from);
    re.fill(0);
    im.fill(0);
    let width = Number.NaN;
    for (const run of list) {
      const u = start + from * du;
      if (run.width !== width) {
        width = run.width;
        for (let k = 0; k < points; k++) envelope[k] = sincPi(width * (u + k * du));
      }
      addRun(re, im, envelope, points, run, u, du);
    }
    for (let k = 0; k < points; k++) profile[from + k] = re[k] * re[k] + im[k] * im[k];
  }
}

function addRun(
  re: Float64Array,
  im: Float64Array,
  envelope: Float64Array,
  points: number,
  run: Run,
  u: number,
  du: number,
): void {
  const { count, width, spacing, middle } = run;
  const turnRe = cosPi(2 * middle * du);
  const turnIm = -sinPi(2 * middle * du);
  const cos = count * width * cosPi(2 * middle * u);
  const sin = count * width * sinPi(2 * middle * u);
  let pRe = run.re * cos + run.im * sin;
  let pIm = run.im * cos - run.re * sin;
  for (let k = 0; k < points; k++) {
    const size =
      count === 1 ? envelope[k] : envelope[k] * arrayFactor(count, spacing * (u + k * du));
    re[k] += size * pRe;
    im[k] += size * pIm;
    const next = pRe * turnRe - pIm * turnIm;
    pIm = pRe * turnIm + pIm * turnRe;
    pRe = next;
  }
}

/** The step of evenly spaced values, or undefined where a value lies off by more than its rounding. */
function evenStep(s: ArrayLike<number>): number | undefined {
  const last = s.length - 1;
  if (last < block) return undefined;
  const step = (s[last] - s[0]) / last;
  const slack = 4 * Number.EPSILON * Math.max(Math.abs(s[0]), Math.abs(s[last]));
  for (let i = 1; i < last; i++) if (Math.abs(s[i] - s[0] - i * step) > slack) return undefined;
  return step;
}
