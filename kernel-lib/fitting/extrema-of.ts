import { requirePositive } from '../numerics/require';
import { backSubstitute, inverseNormal, triangulate } from './householder';
import { checkProfile, type Profile } from './profile';

/** A bright or dark place of a profile. */
export interface ProfileExtremum {
  readonly kind: 'maximum' | 'minimum';
  /** m, as the profile's positions. */
  readonly place: number;
  /** Standard uncertainty of the place, m, from the scatter of the points around it. */
  readonly u: number;
  /** Signal there. */
  readonly height: number;
}

/** How `profileExtrema` looks. */
export interface ExtremaOptions {
  /** What is narrower is noise: standard deviation of the smoothing, m; default a 250th of the span. */
  readonly smooth?: number;
  /** Least rise above, or fall below, both neighbours, as a share of the profile's height; default 0.02, and 4 times the noise. */
  readonly least?: number;
}

/**
 * Bright and dark places of a profile, as one would mark them by hand: where the smoothed curve turns, each the vertex of
 * a parabola through the points around it. Saturated tops have no place and are left out.
 *
 * @param profile positions (m) and signal
 * @returns from left to right
 * @throws RangeError for a profile that is none, or too few points
 * @example
 * const x = Float64Array.from({ length: 101 }, (_, i) => i / 100);
 * profileExtrema({ x, y: x.map((v) => Math.sin(2 * Math.PI * v)) })[0].place // 0.25
 */
export function profileExtrema(profile: Profile, options: ExtremaOptions = {}): ProfileExtremum[] {
  const { x, y, saturated } = checkProfile(profile);
  const count = x.length;
  if (count < 8) {
    throw new RangeError(
      `${count} points show no bright and dark places: at least 8 are needed, better some at each.`,
    );
  }
  const span = x[count - 1] - x[0];
  const { smooth = span / 250, least = 0.02 } = options;
  requirePositive('smooth', smooth, 'give a length in metres');
  requirePositive('least', least, 'give a share of the height of the profile, such as 0.02');
  const even = smoothed(x, y, smooth);
  const low = even.reduce((a, b) => Math.min(a, b));
  const high = even.reduce((a, b) => Math.max(a, b));
  let rough = 0;
  for (let i = 0; i < count; i++) rough += (y[i] - even[i]) ** 2;
  const enough = Math.max(
    least * (high - low),
    4 * Math.sqrt(rough / count) * shareLeft(x, smooth),
  );
  return turns(even, enough).flatMap(({ at, kind, from, to }) => {
    for (let i = Math.max(at - 1, 0); i <= Math.min(at + 1, count - 1); i++) {
      if (saturated?.[i]) return [];
    }
    return vertex(x, y, { from, to, kind }) ?? [];
  });
}

/** Noise that the smoothing leaves, as a share. */
function shareLeft(x: Float64Array, smooth: number): number {
  const step = (x[x.length - 1] - x[0]) / (x.length - 1);
  return Math.min(1, Math.sqrt(step / (2 * Math.sqrt(Math.PI) * smooth)));
}

/** Mean of the neighbours with the weights of a normal distribution. */
function smoothed(x: Float64Array, y: Float64Array, sigma: number): Float64Array {
  let low = 0;
  return Float64Array.from(x, (at) => {
    while (x[low] < at - 3 * sigma) low++;
    let sum = 0;
    let total = 0;
    for (let i = low; i < x.length && x[i] <= at + 3 * sigma; i++) {
      const weight = Math.exp(-(((x[i] - at) / sigma) ** 2) / 2);
      total += weight;
      sum += weight * y[i];
    }
    return sum / total;
  });
}

interface Turn {
  readonly at: number;
  readonly kind: ProfileExtremum['kind'];
  /** Points that are nearer to its height than half of `enough`, or than a third of the way to the next turn. */
  readonly from: number;
  readonly to: number;
}

/** Where the curve turns by at least `enough` before it turns again. Ends are no turns. */
function turns(y: Float64Array, enough: number): Turn[] {
  const found: number[] = [];
  let rising = 0;
  let [top, bottom] = [0, 0];
  for (let i = 1; i < y.length; i++) {
    if (y[i] > y[top]) top = i;
    if (y[i] < y[bottom]) bottom = i;
    if (rising >= 0 && y[i] < y[top] - enough) {
      if (rising > 0 || top > 0) found.push(top);
      rising = -1;
      bottom = i;
    } else if (rising <= 0 && y[i] > y[bottom] + enough) {
      if (rising < 0) found.push(bottom);
      else if (bottom > 0) found.push(bottom);
      rising = 1;
      top = i;
    }
  }
  return found.flatMap((at, k): Turn[] => {
    const [before, after] = [found[k - 1] ?? 0, found[k + 1] ?? y.length - 1];
    const isTop = y[at] >= y[before] && y[at] >= y[after];
    // About the vertex the curve is a parabola: a quarter of the smaller change to the neighbours.
    const reach = 0.25 * Math.min(Math.abs(y[at] - y[before]), Math.abs(y[at] - y[after]));
    let [from, to] = [at, at];
    while (from > before && Math.abs(y[from - 1] - y[at]) < reach) from--;
    while (to < after && Math.abs(y[to + 1] - y[at]) < reach) to++;
    return [{ at, kind: isTop ? 'maximum' : 'minimum', from, to }];
  });
}

/** Vertex of the parabola through the points of a turn. */
function vertex(
  x: Float64Array,
  y: Float64Array,
  { from, to, kind }: Pick<Turn, 'from' | 'to' | 'kind'>,
): ProfileExtremum | undefined {
  const [first, last] = [Math.max(0, from - 2), Math.min(x.length - 1, to + 2)];
  const count = last - first + 1;
  if (count < 4) return undefined;
  const middle = (x[first] + x[last]) / 2;
  const half = (x[last] - x[first]) / 2;
  const t = x.slice(first, last + 1).map((value) => (value - middle) / half);
  const columns = [t.map(() => 1), t.slice(), t.map((value) => value * value)];
  const triangle = triangulate(
    columns.map((column) => column.slice()),
    y.slice(first, last + 1),
  );
  const [a, b, c] = backSubstitute(triangle);
  const inverse = inverseNormal(triangle);
  if (!inverse || !(kind === 'maximum' ? c < 0 : c > 0)) return undefined;
  const at = -b / (2 * c);
  if (!(Math.abs(at) <= 1)) return undefined;
  let rest = 0;
  for (let i = 0; i < count; i++) rest += (y[first + i] - (a + b * t[i] + c * t[i] * t[i])) ** 2;
  const variance = rest / Math.max(1, count - 3);
  const [byB, byC] = [-1 / (2 * c), b / (2 * c * c)];
  const spread =
    byB * byB * inverse[1][1] + 2 * byB * byC * inverse[1][2] + byC * byC * inverse[2][2];
  return {
    kind,
    place: middle + half * at,
    u: half * Math.sqrt(Math.max(variance * spread, 0)),
    height: a + b * at + c * at * at,
  };
}
