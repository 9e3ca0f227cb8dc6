/**
 * The middle of some numbers as they lie in order; of an even count the upper one of the two in the middle, so that it
 * is always one of them.
 *
 * @param values finite numbers; NaN where there are none
 * @example median([3, 1, 2]) // 2
 */
export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length > 0 ? sorted[sorted.length >> 1] : Number.NaN;
}
