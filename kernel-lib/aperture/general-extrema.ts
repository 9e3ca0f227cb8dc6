import { findRoot } from '../numerics/roots';
import { powerAhead } from './amplitude';
import type { Aperture, Slit } from './aperture';
import { period } from './period';
import { requireSearchable } from './range';
import type { Bright, Dark } from './regular-extrema';
import { runs } from './runs';
import { soundAperture } from './slits';
import { type Slopes, slopesInto } from './slopes';

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

  const search = new Search(slits, (left + right) / 2, 1e-13 / extent);
  const step = 1 / (12 * extent);
  const start = Math.floor((from - pad) / step);
  const end = Math.ceil((to + pad) / step);
  for (let k = start; k < end; k++) search.cell(k * step, (k + 1) * step, 0);

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

/** Two zeros of F may lie closer than the step where F and F′ are small against F″. */
const isCrowded = ({ size, size1, size2 }: Slopes, step: number) =>
  size + size1 * step < 6 * size2 * step * step;

const nothingYet = (): Slopes => ({
  power: 0,
  slope: 0,
  curvature: 0,
  size: 0,
  size1: 0,
  size2: 0,
});

class Search {
  readonly minima: Found[] = [];
  readonly maxima: Found[] = [];
  private readonly at: Slopes = nothingYet();

  constructor(
    private readonly slits: readonly Slit[],
    private readonly middle: number,
    private readonly nothing: number,
  ) {}

  private slopes = (u: number) => slopesInto(this.at, this.slits, this.middle, u);
  private slope = (u: number) => this.slopes(u).slope;
  private curvature = (u: number) => this.slopes(u).curvature;

  /** Extrema with low ≤ u < high. */
  cell(low: number, high: number, depth: number): void {
    const { slope: a, curvature: bendA } = this.slopes(low);
    const crowded = isCrowded(this.at, high - low);
    const { slope: b, curvature: bendB } = this.slopes(high);
    if (depth < deepest && (crowded || isCrowded(this.at, high - low))) {
      this.parts(low, high, depth);
      return;
    }
    if (a === 0) this.keep(low);
    if (a * b < 0) this.crossing(low, high, (b - a) / (high - low), depth);
    // The slope heads for 0 at one end and comes back at the other: has it crossed on the way?
    const turns = bendA * bendB < 0 && a * bendA < 0;
    if (!turns || a * b <= 0) return;
    const turn = findRoot(this.curvature, low, high);
    if (a * this.slope(turn) >= 0) return;
    this.keep(findRoot(this.slope, low, turn));
    this.keep(findRoot(this.slope, turn, high));
  }

  private parts(low: number, high: number, depth: number): void {
    const step = (high - low) / 4;
    for (let i = 0; i < 4; i++) this.cell(low + i * step, low + (i + 1) * step, depth + 1);
  }

  private crossing(low: number, high: number, chord: number, depth: number): void {
    const u = findRoot(this.slope, low, high);
    // Much flatter than its chord, or falling where it should rise: there may be three.
    const single = this.curvature(u) / chord > 0.1;
    if (single || depth >= deepest) this.keep(u);
    else this.parts(low, high, depth);
  }

  private keep(u: number): void {
    const place = Math.abs(u) < this.nothing ? 0 : u;
    const { power, curvature } = this.slopes(place);
    (curvature < 0 ? this.maxima : this.minima).push({ u: place, power });
  }
}

function withOrders(maxima: Dark[], minima: Dark[], spacing: number): Bright[] {
  let next = 0;
  return maxima.map((maximum) => {
    while (next < minima.length && minima[next].u < maximum.u) next++;
    const low = minima[next - 1]?.u ?? -Infinity;
    const high = minima[next]?.u ?? Infinity;
    const order = Math.round(maximum.u * spacing);
    const place = order / spacing;
    const slack = 1e-9 / spacing;
    return low < place - slack && place + slack < high ? { ...maximum, order } : maximum;
  });
}

const edges = ({ centre, width }: Slit) => [centre - width / 2, centre + width / 2];
