import { backSubstitute, triangulate } from './householder';

const sets = [[0], [1], [2], [0, 1], [0, 2], [1, 2], [0, 1, 2]];

/**
 * Noise against signal: variance = α + β y + γ y² with no share negative, by least squares in which every variance is
 * weighted by the inverse square of what it should be.
 *
 * @param signal y of each position
 * @param variance its estimate there
 * @param leaveOut 1 where the estimate says nothing
 * @returns the variance that belongs to a signal, > 0
 */
export function smoothVariance(
  signal: Float64Array,
  variance: Float64Array,
  leaveOut: Uint8Array,
): (signal: number) => number {
  const use = Array.from(signal.keys()).filter((p) => !leaveOut[p]);
  const mean = use.reduce((sum, p) => sum + variance[p], 0) / (use.length || 1) || 1e-18;
  if (use.length < 10) return () => mean;
  const low = use.reduce((least, p) => Math.min(least, signal[p]), Infinity);
  const range = use.reduce((most, p) => Math.max(most, signal[p]), -Infinity) - low || 1;
  const part = (y: number) => Math.min(Math.max((y - low) / range, 0), 1);
  let curve = (_: number) => mean;
  for (let round = 0; round < 4; round++) {
    const weigh = (of: (p: number) => number) =>
      Float64Array.from(use, (p) => of(p) / curve(signal[p]));
    const terms = [0, 1, 2].map((power) => weigh((p) => part(signal[p]) ** power));
    const shares = bestShares(
      terms,
      weigh((p) => variance[p]),
    );
    curve = (y) => {
      const at = part(y);
      return Math.max(shares[0] + shares[1] * at + shares[2] * at * at, mean * 1e-4);
    };
  }
  return curve;
}

/** Of all sets of terms whose shares are not negative, the one that leaves least. */
function bestShares(terms: readonly Float64Array[], right: Float64Array): number[] {
  let best = { left: Infinity, shares: [0, 0, 0] };
  for (const set of sets) {
    const columns = set.map((j) => terms[j].slice());
    const rest = right.slice();
    const found = backSubstitute(triangulate(columns, rest));
    if (!found.every((share) => share >= 0)) continue;
    let left = 0;
    for (let i = set.length; i < rest.length; i++) left += rest[i] * rest[i];
    const shares = [0, 0, 0];
    for (const [k, j] of set.entries()) shares[j] = found[k];
    if (left < best.left) best = { left, shares };
  }
  return best.shares;
}
