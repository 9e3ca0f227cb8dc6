import { findRoot } from '../numerics/roots';
import { cosPi, sinc, sincCurvature, sincSlope, sinPi } from '../numerics/sinc';
import { powerAhead } from './amplitude';
import { type Aperture, asComplex, type Slit, soundAperture } from './aperture';
import { period } from './orders';
import { type Bright, type Dark, requireSearchable } from './regular-extrema';
import { runs } from './runs';

/**
 * Maxima and minima of any aperture. The finest fringe in |F|² is that of the two outer edges, so steps
 * of a twelfth of it show where the slope changes sign; where it turns near 0, or F has zeros side by side,
 * a step is quartered until each sign change is seen.
 *
 * @param aperture the slits
 * @param from lower end of u = s/λ, 1/m
 * @param to upper end
 * @returns minima and maxima in ascending u; a maximum between whose neighbouring minima m/d lies is the
 *   principal maximum of order m
 */
export function generalExtrema(
  aperture: Aperture,
  from: number,
  to: number,
): { minima: Dark[]; maxima: Bright[] } {
  const { slits } = soundAperture(aperture);
  const ahead = powerAhead(runs(aperture));
  const [left, right] = [edges(slits[0])[0], edges(slits[slits.length - 1])[1]];
  const extent = right - left;
  const spacing = period(slits);
  const pad = 2 / spacing;
  requireSearchable((to - from + 2 * pad) * extent);

  const search = new Search(slopesOf(slits, (left + right) / 2), 1e-13 / extent);
  const step = 1 / (12 * extent);
  const start = Math.floor((from - pad) / step);
  const end = Math.ceil((to + pad) / step);
  // Off the round places: at s = 0 an extremum of a symmetric pattern would fall on an end of a step.
  let low = search.at((start - 0.382) * step);
  for (let k = start; k <= end; k++) {
    const high = search.at((k + 0.618) * step);
    search.within(low, high, 0);
    low = high;
  }

  const minima = search.minima.map(({ u, power }) => ({ u, intensity: power / ahead }));
  const maxima = search.maxima.map(({ u, power }) => ({ u, intensity: power / ahead }));
  return { minima, maxima: withOrders(maxima, minima, spacing) };
}

/** |F|² at u = s/λ and its derivatives by u. */
interface Slopes {
  readonly u: number;
  readonly power: number;
  readonly slope: number;
  readonly curvature: number;
  /** |F|, |F′| and |F″|, which tell how far away the nearest zeros of F may lie. */
  readonly size: number;
  readonly size1: number;
  readonly size2: number;
}

/**
 * |F|² with its first two derivatives, slit by slit, each with the product rule on its sinc and its phase
 * factor: with g = a sinc(πau) and k = 2πc
 *
 *   w = t g exp(−iku),  w′ = t (g′ − ik g) exp(−iku),  w″ = t (g″ − 2ik g′ − k² g) exp(−iku)
 *
 * @param slits the slits
 * @param middle middle of the aperture, m; the origin is put there, which leaves |F| as it is
 * @returns a function of u = s/λ, 1/m
 */
function slopesOf(slits: readonly Slit[], middle: number): (u: number) => Slopes {
  const parts = slits.map(({ centre, width, transmission }) => {
    return { centre: centre - middle, width, ...asComplex(transmission) };
  });
  return (u) => {
    let [re, im, re1, im1, re2, im2] = [0, 0, 0, 0, 0, 0];
    for (let i = 0; i < parts.length; i++) {
      const part = parts[i];
      const k = 2 * Math.PI * part.centre;
      const b = Math.PI * part.width;
      const x = b * u;
      const clear = Math.abs(x) > 0.3;
      const f = clear ? sinPi(part.width * u) / x : sinc(x);
      const f1 = clear ? (cosPi(part.width * u) - f) / x : sincSlope(x);
      const f2 = clear ? -f - (2 * f1) / x : sincCurvature(x);
      const g = part.width * f;
      const g1 = part.width * b * f1;
      const g2 = part.width * b * b * f2 - k * k * g;
      const cos = cosPi(2 * part.centre * u);
      const sin = sinPi(2 * part.centre * u);
      const pRe = part.re * cos + part.im * sin;
      const pIm = part.im * cos - part.re * sin;
      re += g * pRe;
      im += g * pIm;
      re1 += g1 * pRe + k * g * pIm;
      im1 += g1 * pIm - k * g * pRe;
      re2 += g2 * pRe + 2 * k * g1 * pIm;
      im2 += g2 * pIm - 2 * k * g1 * pRe;
    }
    return {
      u,
      power: re * re + im * im,
      slope: 2 * (re * re1 + im * im1),
      curvature: 2 * (re1 * re1 + im1 * im1 + re * re2 + im * im2),
      size: Math.sqrt(re * re + im * im),
      size1: Math.sqrt(re1 * re1 + im1 * im1),
      size2: Math.sqrt(re2 * re2 + im2 * im2),
    };
  };
}

interface Found {
  u: number;
  power: number;
}

// Quarterings of a step: fringes down to 1/10 000 of the finest are told apart.
const deepest = 6;

/** Two zeros of F may lie within the step beside a point where F and F′ are small against F″. */
const isCrowded = ({ size, size1, size2 }: Slopes, step: number) =>
  size + size1 * step < 2 * size2 * step * step;

/**
 * The cubic through the slopes and curvatures at both ends turns within the step, and crosses 0 or comes near it:
 * the slope may cross 0 more often than its signs at the ends tell.
 */
function isUnsure(low: Slopes, high: Slopes): boolean {
  const step = high.u - low.u;
  const rise = high.slope - low.slope;
  const cubicSlope = (t: number) =>
    6 * t * (1 - t) * rise +
    step * ((1 - t) * (1 - 3 * t) * low.curvature + t * (3 * t - 2) * high.curvature);
  if (samples.every((t) => cubicSlope(t) / rise > 0.2)) return false;

  const cubic = (t: number) =>
    low.slope +
    t * t * (3 - 2 * t) * rise +
    step * t * (1 - t) * ((1 - t) * low.curvature - t * high.curvature);
  const sign = Math.sign(low.slope + high.slope);
  const values = samples.map((t) => sign * cubic(t));
  return Math.min(...values) < 0.2 * Math.max(...values);
}

const samples = [0, 0.25, 0.5, 0.75, 1];

class Search {
  readonly minima: Found[] = [];
  readonly maxima: Found[] = [];

  constructor(
    readonly at: (u: number) => Slopes,
    private readonly nothing: number,
  ) {}

  private slope = (u: number) => this.at(u).slope;

  /** Extrema with low ≤ u < high. */
  within(low: Slopes, high: Slopes, depth: number): void {
    const step = high.u - low.u;
    const crowded = isCrowded(low, step) || isCrowded(high, step) || isUnsure(low, high);
    if (crowded && depth < deepest) {
      this.parts(low, high, depth);
      return;
    }
    if (low.slope === 0) this.keep(low.u, low.curvature < 0);
    if (low.slope * high.slope >= 0) return;
    this.keep(findRoot(this.slope, low.u, high.u), low.slope > 0);
  }

  private parts(low: Slopes, high: Slopes, depth: number): void {
    let left = low;
    for (let i = 1; i <= 4; i++) {
      const right = i === 4 ? high : this.at(low.u + ((high.u - low.u) * i) / 4);
      this.within(left, right, depth + 1);
      left = right;
    }
  }

  private keep(u: number, bright: boolean): void {
    const place = Math.abs(u) < this.nothing ? 0 : u;
    (bright ? this.maxima : this.minima).push({ u: place, power: this.at(place).power });
  }
}

function withOrders(maxima: Dark[], minima: Dark[], spacing: number): Bright[] {
  let next = 0;
  return maxima.map((maximum) => {
    while (next < minima.length && minima[next].u < maximum.u) next++;
    const low = minima[next - 1]?.u ?? -Infinity;
    const high = minima[next]?.u ?? Infinity;
    const order = Math.round(maximum.u * spacing) + 0;
    const place = order / spacing;
    const slack = 1e-9 / spacing;
    return low < place - slack && place + slack < high ? { ...maximum, order } : maximum;
  });
}

const edges = ({ centre, width }: Slit) => [centre - width / 2, centre + width / 2];
