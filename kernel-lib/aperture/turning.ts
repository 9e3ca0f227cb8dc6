import { cosPi, sinPi } from '../numerics/sin-pi';
import { sincPi } from '../numerics/sinc';
import { arrayFactor } from './array-factor';
import type { Run } from './runs';

// Points between two phases taken afresh: long enough to save sines, short enough to keep 1e-14.
const block = 64;

/**
 * |F|² of runs at evenly spaced u = s/λ. A phase that grows evenly turns by one complex factor a point.
 *
 * @param profile filled with |F|², m²
 * @param list the runs
 * @param start u of the first point, 1/m
 * @param du step of u, 1/m
 */
export function sumByTurning(
  profile: Float64Array,
  list: readonly Run[],
  start: number,
  du: number,
): void {
  const work = { re: line(), im: line(), envelope: line(), above: line(), below: line() };
  for (let from = 0; from < profile.length; from += block) {
    const points = Math.min(block, profile.length - from);
    const u = start + from * du;
    work.re.fill(0);
    work.im.fill(0);
    let width = Number.NaN;
    for (const run of list) {
      if (run.width !== width) {
        width = run.width;
        fillEnvelope(work, points, width, u, du);
      }
      if (run.count === 1) addSlit(work, points, run, u, du);
      else addRun(work, points, run, u, du);
    }
    const { re, im } = work;
    for (let k = 0; k < points; k++) profile[from + k] = re[k] * re[k] + im[k] * im[k];
  }
}

interface Work {
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly envelope: Float64Array;
  readonly above: Float64Array;
  readonly below: Float64Array;
}

const line = () => new Float64Array(block);

/** a sinc(πau) of one slit; beside u = 0, where it is a quotient of small numbers, each sine by itself. */
function fillEnvelope(work: Work, points: number, width: number, u: number, du: number): void {
  const { envelope, above } = work;
  turningSines(above, points, width * u, width * du);
  for (let k = 0; k < points; k++) {
    const y = width * (u + k * du);
    envelope[k] = width * (Math.abs(y) > 0.1 ? above[k] / (Math.PI * y) : sincPi(y));
  }
}

/** Adds one slit: envelope × phase factor. */
function addSlit(work: Work, points: number, run: Run, u: number, du: number): void {
  const { re, im, envelope } = work;
  const turnRe = cosPi(2 * run.middle * du);
  const turnIm = -sinPi(2 * run.middle * du);
  const cos = cosPi(2 * run.middle * u);
  const sin = sinPi(2 * run.middle * u);
  let pRe = run.re * cos + run.im * sin;
  let pIm = run.im * cos - run.re * sin;
  for (let k = 0; k < points; k++) {
    re[k] += envelope[k] * pRe;
    im[k] += envelope[k] * pIm;
    const next = pRe * turnRe - pIm * turnIm;
    pIm = pRe * turnIm + pIm * turnRe;
    pRe = next;
  }
}

/** Adds N slits: envelope × N D(du) × phase factor of their middle. */
function addRun(work: Work, points: number, run: Run, u: number, du: number): void {
  const { above, below, envelope } = work;
  const { count, spacing } = run;
  turningSines(above, points, count * spacing * u, count * spacing * du);
  turningSines(below, points, spacing * u, spacing * du);
  for (let k = 0; k < points; k++) {
    // Beside a principal maximum both sines are small, and rounding would show.
    const clear = Math.abs(below[k]) > 0.05;
    above[k] = clear ? above[k] / below[k] : count * arrayFactor(count, spacing * (u + k * du));
    above[k] *= envelope[k];
  }
  addSlit({ ...work, envelope: above }, points, run, u, du);
}

/** sin π(x + k dx) for each k. */
function turningSines(out: Float64Array, points: number, x: number, dx: number): void {
  const turnCos = cosPi(dx);
  const turnSin = sinPi(dx);
  let cos = cosPi(x);
  let sin = sinPi(x);
  for (let k = 0; k < points; k++) {
    out[k] = sin;
    const next = sin * turnCos + cos * turnSin;
    cos = cos * turnCos - sin * turnSin;
    sin = next;
  }
}
