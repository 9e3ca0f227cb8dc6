import { findRoot } from '../numerics/roots';
import { powerAhead } from './amplitude';
import type { Aperture, Slit } from './aperture';
import { period } from './period';
import { requireSearchable } from './range';
import type { Bright, Dark } from './regular-extrema';
import { runs } from './runs';
import { soundAperture } from './slits';
import { type Slopes, slopesOf } from './slopes';

/**
 * Maxima and minima of any aperture. The finest fringe in |F|² is that of the two outer edges, so steps
 * of a twelfth of it show where the slope changes sign; where it only turns back, the turning point tells
 * whether two extrema hide within the step.
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
    search.cell(low, high, 0);
    low = high;
  }

  const minima = search.minima.map(({ u, power }) => ({ u, intensity: power / ahead }));
  const maxima = search.maxima.map(({ u, power }) => ({ u, intensity: power / ahead }));
  return { minima, maxima: withOrders(maxima, minima, spacing) };
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

/** The slope has one sign at both ends, but the cubic through its values and slopes there comes near 0. */
function dips(low: Slopes, high: Slopes): boolean {
  const step = high.u - low.u;
  const sign = Math.sign(low.slope);
  const least = Math.min(sign * low.slope, sign * high.slope);
  if (least <= 0) return false;
  const bulge = (t: number) =>
    (1 - 2 * t) * (low.slope - high.slope) + step * ((1 - t) * low.curvature - t * high.curvature);
  const cubic = (t: number) => (1 - t) * low.slope + t * high.slope + t * (1 - t) * bulge(t);
  return [0.2, 0.4, 0.6, 0.8].some((t) => sign * cubic(t) < least / 2);
}

class Search {
  readonly minima: Found[] = [];
  readonly maxima: Found[] = [];

  constructor(
    readonly at: (u: number) => Slopes,
    private readonly nothing: number,
  ) {}

  private slope = (u: number) => this.at(u).slope;
  private curvature = (u: number) => this.at(u).curvature;

  /** Extrema with low ≤ u < high. */
  cell(low: Slopes, high: Slopes, depth: number): void {
    const step = high.u - low.u;
    const crowded = isCrowded(low, step) || isCrowded(high, step) || dips(low, high);
    if (crowded && depth < deepest) {
      this.parts(low, high, depth);
      return;
    }
    if (low.slope === 0) this.keep(low.u, low.curvature < 0);
    if (low.slope * high.slope < 0) this.crossing(low, high, depth);
    else if (low.slope * high.slope > 0) this.turning(low, high);
  }

  private parts(low: Slopes, high: Slopes, depth: number): void {
    let left = low;
    for (let i = 1; i <= 4; i++) {
      const right = i === 4 ? high : this.at(low.u + ((high.u - low.u) * i) / 4);
      this.cell(left, right, depth + 1);
      left = right;
    }
  }

  private crossing(low: Slopes, high: Slopes, depth: number): void {
    const u = findRoot(this.slope, low.u, high.u);
    const chord = (high.slope - low.slope) / (high.u - low.u);
    // Much flatter than its chord, or falling where it should rise: there may be three.
    const single = this.curvature(u) / chord > 0.1;
    if (single || depth >= deepest) this.keep(u, chord < 0);
    else this.parts(low, high, depth);
  }

  /** The slope has one sign at both ends; where it heads for 0 and comes back, it may have crossed twice. */
  private turning(low: Slopes, high: Slopes): void {
    const turns = low.curvature * high.curvature < 0 && low.slope * low.curvature < 0;
    if (!turns) return;
    const turn = findRoot(this.curvature, low.u, high.u);
    if (low.slope * this.slope(turn) >= 0) return;
    this.keep(findRoot(this.slope, low.u, turn), low.slope > 0);
    this.keep(findRoot(this.slope, turn, high.u), low.slope < 0);
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
