import type { KernelTable } from './prepared-light';
import { CHANNELS, PER_CELL } from './quintic-cells';

/**
 * Σ bend_j · M(c_j |s|) for many s, added to `out` (4 channels a position).
 *
 * Lag by lag, so that the table is read from one end to the other; no allocation.
 *
 * @param table the light's M
 * @param lags c_j, m
 * @param bends change of slope of the autocorrelation at each lag
 * @param s direction sines ≥ 0
 * @param out 4 numbers for each s
 */
export function addLagSum(
  table: KernelTable,
  lags: Float64Array,
  bends: Float64Array,
  s: Float64Array,
  out: Float64Array,
): void {
  const { cells, perMetre } = table;
  for (let j = 0; j < lags.length; j++) {
    const bend = bends[j];
    const scale = lags[j] * perMetre;
    if (bend === 0 || scale === 0) continue;
    for (let i = 0; i < s.length; i++) {
      const place = scale * s[i];
      const cell = place | 0;
      const t = place - cell;
      const at = cell * PER_CELL;
      const o = i * CHANNELS;
      out[o] += bend * quintic(cells, at, t);
      out[o + 1] += bend * quintic(cells, at + 6, t);
      out[o + 2] += bend * quintic(cells, at + 12, t);
      out[o + 3] += bend * quintic(cells, at + 18, t);
    }
  }
}

function quintic(a: Float64Array, at: number, t: number): number {
  return (
    a[at] + t * (a[at + 1] + t * (a[at + 2] + t * (a[at + 3] + t * (a[at + 4] + t * a[at + 5]))))
  );
}
