import { requireList } from '../numerics/require';
import { cosPi, sinPi } from '../numerics/sinc';
import { arrayFactor, power, powerAhead, requireWavelength } from './amplitude';
import type { Aperture, Complex } from './aperture';
import { requireDirection } from './direction';
import { type Run, runs } from './runs';

/**
 * Intensity of the far field (Fraunhofer diffraction), relative to that at s = 0. For N equal slits of
 * width a and spacing d it is one slit's envelope times the interference of N sources:
 *
 *   I(s) = sinc²(π a s/λ) · [sin(N π d s/λ) / (N sin(π d s/λ))]²
 *
 * and for any other aperture the square of the sum over its slits. It is exact at s = 0 and at every
 * principal maximum.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param s direction sine sin θ − sin θi, −2…2
 * @returns relative intensity, 1 at s = 0, never negative
 * @throws RangeError, TypeError for an unsound aperture, a wavelength not in 0…1 m, s not in −2…2, or an
 *   aperture whose amplitudes cancel at s = 0
 * @example intensity(slits(1, { width: 2e-6 }), 550e-9, 0.75 * 550e-9 / 2e-6 * 2) // 0.045031637174416
 */
export function intensity(aperture: Aperture, wavelength: number, s: number): number {
  const list = runs(aperture);
  return power(list, requireDirection(s) / requireWavelength(wavelength)) / powerAhead(list);
}

/**
 * `intensity` at many direction sines at once. Where s is evenly spaced every phase turns by the same
 * angle from point to point, so a complex product takes the place of its sine and cosine. Nothing is
 * allocated per point.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param s direction sines, −2…2, in any order
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
  requireList('s', s, 'give direction sines, or use intensity for a single one');
  const profile = new Float64Array(s.length);
  const step = evenStep(s);
  if (step !== undefined) {
    // Those between lie between these.
    requireDirection(s[0]);
    requireDirection(s[s.length - 1]);
    powersAtEvenSteps(profile, list, s[0] / wavelength, step / wavelength, ahead);
    return profile;
  }
  for (let i = 0; i < s.length; i++) {
    profile[i] = power(list, requireDirection(s[i]) / wavelength) / ahead;
  }
  return profile;
}

/** The step of nine or more evenly spaced values; undefined where one lies off by more than its rounding, or is not finite. */
function evenStep(s: ArrayLike<number>): number | undefined {
  const last = s.length - 1;
  if (last < 8) return undefined;
  const step = (s[last] - s[0]) / last;
  const slack = 4 * Number.EPSILON * Math.max(Math.abs(s[0]), Math.abs(s[last]));
  // A step that is not finite fails here too: 0 times it is not a number.
  for (let i = 0; i <= last; i++)
    if (!(Math.abs(s[i] - s[0] - i * step) <= slack)) return undefined;
  return step;
}

/**
 * |F|² of runs at evenly spaced u = s/λ, which needs few sines: see `EvenSines`.
 *
 *   F(u) = Σ t sin(πau)/(πu) · sin(πNdu)/sin(πdu) · exp(−2πicu)
 *
 * Cost a position: for equal slits three sums of two products, two divisions and four products, whatever N;
 * for unequal ones 7 to 10 products a slit. The tables stay in the cache, so arithmetic sets the pace: a pass
 * that only reads s, divides once and writes is the floor that the bench `mono-profile` prints beside it.
 *
 * @param profile filled with |F|² / unit
 * @param list the runs
 * @param start u of the first point, 1/m
 * @param du step of u, 1/m
 * @param unit what |F|² is divided by, m²
 */
function powersAtEvenSteps(
  profile: Float64Array,
  list: readonly Run[],
  start: number,
  du: number,
  unit: number,
): void {
  // Tables and blocks cost the same when each is as long as there are blocks; longer ones leave the cache.
  const block = Math.min(128, Math.ceil(Math.sqrt(profile.length)));
  const fill = list.length === 1 ? oneRun(list[0], block, du) : manyRuns(list, block, du);
  const total = list.reduce((sum, { count, width }) => sum + count * width, 0);
  const slits = list.reduce((sum, { count }) => sum + count, 0);
  // Straight ahead sin(πau) and u are both small.
  const near = (0.002 * slits) / total;
  for (let from = 0; from < profile.length; from += block) {
    const part = profile.subarray(from, Math.min(from + block, profile.length));
    const u = start + from * du;
    const end = u + part.length * du;
    fill(part, u, unit);
    if (Math.min(Math.abs(u), Math.abs(end)) > near && u * end > 0) continue;
    for (let k = 0; k < part.length; k++) {
      if (Math.abs(u + k * du) < near) part[k] = power(list, u + k * du) / unit;
    }
  }
}

/** Fills one block that starts at u. */
type Fill = (part: Float64Array, u: number, unit: number) => void;

/** Equal slits, or one: the phase of their middle does not show. */
function oneRun(run: Run, block: number, du: number): Fill {
  const [edges, ratios] = [new Float64Array(block), new Float64Array(block).fill(1)];
  const edge = new EvenSines(run.width, block, du);
  const fillRatios = arrayRatios(run, block, du);
  return (part, u, unit) => {
    const scale = (run.re * run.re + run.im * run.im) / (Math.PI * Math.PI * unit);
    edge.fill(edges, u);
    fillRatios(ratios, u);
    for (let k = 0; k < part.length; k++) {
      const wave = (edges[k] * ratios[k]) / (u + k * du);
      part[k] = scale * wave * wave;
    }
  };
}

function manyRuns(list: readonly Run[], block: number, du: number): Fill {
  const [re, im] = [new Float64Array(block), new Float64Array(block)];
  const [edges, sizes] = [new Float64Array(block), new Float64Array(block)];
  const waves = list.map((run) => ({
    run,
    edge: new EvenSines(run.width, block, du),
    phase: new EvenSines(2 * run.middle, block, du),
    fillRatios: arrayRatios(run, block, du),
  }));
  return (part, u, unit) => {
    re.fill(0);
    im.fill(0);
    let width = Number.NaN;
    for (const { run, edge, phase, fillRatios } of waves) {
      if (run.width !== width) edge.fill(edges, u);
      width = run.width;
      if (run.count > 1) {
        fillRatios(sizes, u);
        for (let k = 0; k < block; k++) sizes[k] *= edges[k];
      }
      phase.add(re, im, run.count > 1 ? sizes : edges, run, u);
    }
    const scale = 1 / (Math.PI * Math.PI * unit);
    for (let k = 0; k < part.length; k++) {
      const here = u + k * du;
      part[k] = (scale * (re[k] * re[k] + im[k] * im[k])) / (here * here);
    }
  };
}

/** Fills in sin(πNdu) / sin(πdu) at the points of a block; leaves it as it is for a single slit. */
function arrayRatios({ count, spacing }: Run, block: number, du: number) {
  if (count === 1) return () => {};
  const below = new Float64Array(block);
  const above = new EvenSines(count * spacing, block, du);
  const single = new EvenSines(spacing, block, du);
  return (ratios: Float64Array, u: number): void => {
    above.fill(ratios, u);
    single.fill(below, u);
    for (let k = 0; k < block; k++) {
      // Beside a principal maximum both sines are small, and rounding would show.
      if (Math.abs(below[k]) > 0.02) ratios[k] /= below[k];
      else ratios[k] = count * arrayFactor(count, spacing * (u + k * du));
    }
  };
}

/**
 * sin πxu and cos πxu at evenly spaced u, block by block, by the addition theorem: the phase of point k is
 * that of the block's first point plus k steps, and cos and sin of k steps are tabulated once for all blocks.
 */
class EvenSines {
  private readonly cosSteps: Float64Array;
  private readonly sinSteps: Float64Array;

  constructor(
    private readonly x: number,
    block: number,
    du: number,
  ) {
    this.cosSteps = Float64Array.from({ length: block }, (_, k) => cosPi(x * k * du));
    this.sinSteps = Float64Array.from({ length: block }, (_, k) => sinPi(x * k * du));
  }

  /** sin πxu at the points of the block that starts at u. */
  fill(sines: Float64Array, u: number): void {
    const { cosSteps, sinSteps } = this;
    const sin = sinPi(this.x * u);
    const cos = cosPi(this.x * u);
    for (let k = 0; k < sines.length; k++) sines[k] = sin * cosSteps[k] + cos * sinSteps[k];
  }

  /** Adds size · t exp(−iπxu), real and imaginary part, at the points of the block that starts at u. */
  add(re: Float64Array, im: Float64Array, size: Float64Array, t: Complex, u: number): void {
    const { cosSteps, sinSteps } = this;
    const sin = sinPi(this.x * u);
    const cos = cosPi(this.x * u);
    const startRe = t.re * cos + t.im * sin;
    const startIm = t.im * cos - t.re * sin;
    for (let k = 0; k < re.length; k++) {
      const c = cosSteps[k];
      const s = sinSteps[k];
      re[k] += size[k] * (startRe * c + startIm * s);
      im[k] += size[k] * (startIm * c - startRe * s);
    }
  }
}
