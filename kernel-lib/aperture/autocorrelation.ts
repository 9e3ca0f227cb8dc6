import type { Aperture } from './aperture';
import { type Run, runs } from './runs';

/**
 * The autocorrelation of an aperture, straight between its knots and zero beyond the last one. Only
 * lags from 0 up are kept: A(−c) is the complex conjugate of A(c).
 */
export interface Autocorrelation {
  /** Lags c of the knots, m, ascending from 0. */
  readonly lags: Float64Array;
  /** Real and imaginary part of A at the knots, m. The imaginary part is 0 for real transmissions. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** Change of slope of A(c) at the knots: at lag 0 between its two sides. */
  readonly bendRe: Float64Array;
  readonly bendIm: Float64Array;
  /** Whether A is real, as for every aperture without phase plates. */
  readonly real: boolean;
}

/**
 * Autocorrelation of the transmission, whose Fourier transform is the far field's intensity
 * (Wiener and Khinchin):
 *
 *   A(c) = ∫ t(x + c) t*(x) dx
 *   |F(s)|² = 2 ∫₀^∞ [Re A(c) cos(2πcs/λ) + Im A(c) sin(2πcs/λ)] dc
 *
 * Two slits of widths a and b give a trapezium: two for a pair of slits, a triangle for a slit with
 * itself. Equal lags are merged, so N equal slits have no more than 3N knots.
 *
 * @param aperture any slits
 * @returns knots (lag, value, bend); A(0) = Σ |t|² a
 * @throws as `slitsAt` when the aperture is not sound
 * @example autocorrelation(slits(1, { width: 4e-5 })).lags.length // 2
 */
export function autocorrelation(aperture: Aperture): Autocorrelation {
  const list = runs(aperture);
  const bends: Bend[] = [];
  for (const left of list) for (const right of list) addPairs(bends, left, right);
  const reach = Math.max(...list.map((run) => 2 * Math.abs(run.middle) + run.count * run.spacing));
  return integrated(merged(bends, 1e-13 * (reach + list[0].width)));
}

interface Bend {
  lag: number;
  re: number;
  im: number;
}

/** Adds the trapezia of every slit of one run with every slit of another. */
function addPairs(bends: Bend[], one: Run, other: Run): void {
  const re = one.re * other.re + one.im * other.im;
  const im = one.im * other.re - one.re * other.im;
  const outer = (one.width + other.width) / 2;
  const inner = Math.abs(one.width - other.width) / 2;
  const trapezium = (lag: number, times: number) => {
    if (lag + outer < 0) return;
    bends.push({ lag: lag - outer, re: times * re, im: times * im });
    bends.push({ lag: lag - inner, re: -times * re, im: -times * im });
    bends.push({ lag: lag + inner, re: -times * re, im: -times * im });
    bends.push({ lag: lag + outer, re: times * re, im: times * im });
  };
  const between = one.middle - other.middle;
  const [n, m] = [one.count, other.count];
  const spacing = m === 1 ? one.spacing : other.spacing;
  if (n === 1 || m === 1 || Math.abs(one.spacing - spacing) <= 1e-15 * spacing) {
    // Slits i and j are i − j = k steps apart; as many pairs share that lag as fit into both runs.
    for (let k = 1 - m; k < n; k++) {
      const times = Math.min(n, m + k) - Math.max(0, k);
      trapezium(between + (k - (n - m) / 2) * spacing, times);
    }
    return;
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < m; j++) {
      const first = (i - (n - 1) / 2) * one.spacing;
      const second = (j - (m - 1) / 2) * other.spacing;
      trapezium(between + first - second, 1);
    }
  }
}

/** Sorts the bends, adds those at one lag, keeps lags from 0 up and drops what cancels. */
function merged(bends: Bend[], slack: number): Bend[] {
  bends.sort((a, b) => a.lag - b.lag);
  const list: Bend[] = [];
  let size = 0;
  for (const { lag, re, im } of bends) {
    size = Math.max(size, Math.hypot(re, im));
    if (lag < -slack) continue;
    const last = list[list.length - 1];
    if (last && lag - last.lag <= slack) {
      last.re += re;
      last.im += im;
    } else list.push({ lag: Math.abs(lag) <= slack ? 0 : lag, re, im });
  }
  return list.filter((bend, i) => i === 0 || Math.hypot(bend.re, bend.im) > 1e-13 * size);
}

/** From bends to values: from the last knot, beyond which A is 0, inwards. */
function integrated(list: Bend[]): Autocorrelation {
  const n = list.length;
  const [lags, re, im] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  const [bendRe, bendIm] = [new Float64Array(n), new Float64Array(n)];
  let [slopeRe, slopeIm, real] = [0, 0, true];
  for (let i = n - 1; i >= 0; i--) {
    const { lag } = list[i];
    const step = i === n - 1 ? 0 : list[i + 1].lag - lag;
    lags[i] = lag;
    re[i] = (re[i + 1] ?? 0) + slopeRe * step;
    im[i] = (im[i + 1] ?? 0) + slopeIm * step;
    bendRe[i] = list[i].re;
    bendIm[i] = i === 0 ? 0 : list[i].im;
    slopeRe += list[i].re;
    slopeIm += list[i].im;
    if (i > 0 && list[i].im !== 0) real = false;
  }
  if (n > 0) im[0] = 0;
  return { lags, re, im, bendRe, bendIm, real };
}
