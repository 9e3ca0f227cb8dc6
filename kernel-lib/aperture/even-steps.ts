import { power } from './amplitude';
import { arrayFactor } from './array-factor';
import { EvenSines } from './even-sines';
import type { Run } from './runs';

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
export function powersAtEvenSteps(
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
