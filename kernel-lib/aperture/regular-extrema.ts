import { findRoot } from '../numerics/roots';
import { cosPi, sinPi } from '../numerics/sinc';
import { power, powerAhead } from './amplitude';
import type { Run } from './runs';

/** A minimum at u = s/λ, 1/m. */
export interface Dark {
  readonly u: number;
  readonly intensity: number;
}

/** A maximum at u = s/λ, 1/m, and the order it is the principal maximum of, if it is one. */
export interface Bright extends Dark {
  readonly order?: number;
}

/**
 * Zeros of N equal slits: where one slit is dark, u = m/a, and where the N slits cancel, u = k/(N d) with
 * k not a multiple of N. Zeros of both kinds at one place are given once.
 *
 * @param run the slits
 * @param from lower end of u = s/λ, 1/m
 * @param to upper end
 * @returns ascending, 1/m
 */
export function zeros({ count, width, spacing }: Run, from: number, to: number): number[] {
  const length = count * spacing;
  requireSearchable((to - from) * (length + width));
  const list: number[] = [];
  for (let m = Math.ceil(from * width); m <= to * width; m++) if (m !== 0) list.push(m / width);
  for (let k = Math.ceil(from * length); k <= to * length; k++) {
    if (k % count !== 0) list.push(k / length);
  }
  list.sort((a, b) => a - b);
  return list.filter((u, i) => i === 0 || u - list[i - 1] > 1e-12 * Math.abs(u));
}

/** Minima of N equal slits; the intensity is 0 in all of them. */
export function regularMinima(run: Run, from: number, to: number): Dark[] {
  const slack = 1e-14 * Math.max(Math.abs(from), Math.abs(to));
  return zeros(run, from - slack, to + slack).map((u) => ({ u, intensity: 0 }));
}

/**
 * Maxima of N equal slits. The amplitude has real zeros only, so just one maximum lies between two
 * neighbouring zeros: where the logarithmic slope of the amplitude passes 0. It is principal when it
 * shares the interval with m/d; the envelope moves it from m/d towards the top of its own lobe.
 */
export function regularMaxima(run: Run, from: number, to: number): Bright[] {
  const ahead = powerAhead([run]);
  const pad = 2.5 / (run.count === 1 ? run.width : run.count * run.spacing);
  const dark = zeros(run, from - pad, to + pad);
  const list: Bright[] = [];
  for (let i = 1; i < dark.length; i++) {
    const u = peakBetween(run, dark[i - 1], dark[i]);
    const intensity = power([run], u) / ahead;
    const order = Math.round(((dark[i - 1] + dark[i]) / 2) * run.spacing) + 0;
    const place = order === 0 ? 0 : order / run.spacing;
    const slack = 1e-12 * Math.abs(place);
    const principal = dark[i - 1] < place - slack && place + slack < dark[i];
    list.push(principal ? { u, intensity, order } : { u, intensity });
  }
  return list;
}

function peakBetween(run: Run, low: number, high: number): number {
  if (low < 0 && high > 0) return 0;
  const edge = 1e-6 * (high - low);
  const slope = (u: number) => logarithmicSlope(run, u);
  const [left, right] = [low + edge, high - edge];
  // Zeros so close that rounding hides the peak between them.
  if (!(slope(left) > 0 && slope(right) < 0)) return (low + high) / 2;
  return findRoot(slope, left, right);
}

/**
 * d/du ln |sinc(πau) D(du)| = π a h(au) + π d [N h(N r) − h(r)], r = du less the nearest whole number:
 * with h(y) = cot πy − 1/πy the poles at principal maxima cancel before they are computed.
 */
function logarithmicSlope({ count, width, spacing }: Run, u: number): number {
  const r = spacing * u - Math.round(spacing * u);
  const array = spacing * (count * h(count * r) - h(r));
  return Math.PI * (width * h(width * u) + array);
}

/** cot πy − 1/(πy), the logarithmic slope of a sinc. */
function h(y: number): number {
  const x = Math.PI * y;
  if (Math.abs(x) > 0.2) return cosPi(y) / sinPi(y) - 1 / x;
  const q = x * x;
  return (
    -x *
    (1 / 3 +
      q * (1 / 45 + q * (2 / 945 + q * (1 / 4725 + q * (2 / 93555 + (q * 1382) / 638512875)))))
  );
}

/** Refuses searches that would not end in a reasonable time. */
export function requireSearchable(fringes: number): void {
  if (fringes <= 3e6) return;
  throw new RangeError(
    `About ${Math.round(fringes).toExponential(1)} maxima and minima lie in this range of s: narrow it with { from, to }.`,
  );
}
