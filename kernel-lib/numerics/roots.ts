/** How far a search goes. */
export interface RootOptions {
  /** Width of the last bracket; the default is the spacing of numbers at the root. */
  readonly tolerance?: number;
  /** Steps before giving up, 200 unless told. */
  readonly steps?: number;
}

/**
 * A zero of f inside a bracket, by Brent's method: inverse quadratic or secant steps while they help,
 * halving when they do not. It never leaves the bracket and always ends.
 *
 * @param f continuous, of opposite signs at the two ends
 * @param low one end of the bracket
 * @param high the other end
 * @param options `tolerance` in the unit of x
 * @returns x with f(x) = 0, to the tolerance
 * @throws RangeError when an end is not finite, or f has the same sign (or no value) at both ends
 * @see R. P. Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4 (from memory)
 * @example findRoot(Math.cos, 1, 2) // 1.5707963267948966
 */
export function findRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  options: RootOptions = {},
): number {
  const { tolerance = 0, steps = 200 } = options;
  // b is the best point, c the other end of the bracket, a the point before b.
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  requireBracket(a, b, fa, fb);
  if (fa === 0) return a;
  let c = a;
  let fc = fa;
  let step = b - a;
  let previous = step;
  for (let i = 0; i < steps && fb !== 0; i++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = previous = b - a;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const least = 2 * Number.EPSILON * Math.abs(b) + tolerance / 2;
    const half = (c - b) / 2;
    if (Math.abs(half) <= least) break;

    let trial = half;
    if (Math.abs(previous) >= least && Math.abs(fa) > Math.abs(fb)) {
      const guess = interpolated(a, b, c, fa, fb, fc);
      const shrinks = Math.abs(guess) < Math.abs(previous) / 2;
      const inside = guess / half > 0 && Math.abs(guess) < 1.5 * Math.abs(half);
      if (shrinks && inside) trial = guess;
    }
    previous = trial === half ? half : step;
    step = trial;
    a = b;
    fa = fb;
    b += Math.abs(step) > least ? step : Math.sign(half) * least;
    fb = f(b);
  }
  return b;
}

/** Step from b to the zero of the inverse parabola through three points, or of the secant through two. */
function interpolated(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return ((c - b) * s) / (s - 1);
  const q = fa / fc;
  const r = fb / fc;
  return (s * ((c - b) * q * (q - r) - (b - a) * (r - 1))) / -((q - 1) * (r - 1) * (s - 1));
}

function requireBracket(low: number, high: number, atLow: number, atHigh: number): void {
  if (!Number.isFinite(low) || !Number.isFinite(high)) {
    throw new RangeError(`A bracket needs two finite ends, but got ${low} and ${high}.`);
  }
  if (!(atLow <= 0 && atHigh >= 0) && !(atLow >= 0 && atHigh <= 0)) {
    throw new RangeError(
      `No change of sign between ${low} (value ${atLow}) and ${high} (value ${atHigh}): ` +
        'choose ends on either side of the zero.',
    );
  }
}
