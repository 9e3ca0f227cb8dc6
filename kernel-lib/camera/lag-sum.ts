import { type Cells, CHANNELS, cubic, quintic } from './cells';

/**
 * Σ weight_j · M(lag_j · s) for many s, added to `out` (3 channels for each s); M from cells of degree 5.
 *
 * Lag by lag, so that the table is read from one end to the other; nothing is allocated.
 */
export function addQuinticSum(
  { step, coefficients }: Cells,
  lags: Float64Array,
  weights: Float64Array,
  s: Float64Array,
  out: Float64Array,
): void {
  for (let j = 0; j < lags.length; j++) {
    const weight = weights[j];
    const scale = lags[j] / step;
    if (weight === 0) continue;
    for (let i = 0; i < s.length; i++) {
      const place = scale * s[i];
      const cell = place | 0;
      const t = place - cell;
      const at = cell * 6 * CHANNELS;
      const o = i * CHANNELS;
      out[o] += weight * quintic(coefficients, at, t);
      out[o + 1] += weight * quintic(coefficients, at + 6, t);
      out[o + 2] += weight * quintic(coefficients, at + 12, t);
    }
  }
}

/**
 * The same with cells of degree 3, three lags to a pass: equal slits have their lags in threes, and
 * `out` is then read and written a third as often.
 *
 * One look-up is 24 multiplications and additions on 96 bytes. It was measured at 6 ns, some 18 cycles,
 * where two such operations a cycle, all that one JavaScript thread can do, would take 12: arithmetic is
 * the limit. The table of 20 slits over ±26 mrad, 1 MB, is read in order and stays in the second cache.
 */
export function addCubicSum(
  { step, coefficients }: Cells,
  lags: Float64Array,
  weights: Float64Array,
  s: Float64Array,
  out: Float64Array,
): void {
  for (let j = 0; j < lags.length; j += 3) {
    const [w0, w1, w2] = [weights[j], weights[j + 1] ?? 0, weights[j + 2] ?? 0];
    const [c0, c1, c2] = [lags[j] / step, (lags[j + 1] ?? 0) / step, (lags[j + 2] ?? 0) / step];
    addThree(coefficients, w0, w1, w2, c0, c1, c2, s, out);
  }
}

function addThree(
  a: Float64Array,
  w0: number,
  w1: number,
  w2: number,
  c0: number,
  c1: number,
  c2: number,
  s: Float64Array,
  out: Float64Array,
): void {
  for (let i = 0; i < s.length; i++) {
    const p0 = c0 * s[i];
    const p1 = c1 * s[i];
    const p2 = c2 * s[i];
    const cell0 = p0 | 0;
    const cell1 = p1 | 0;
    const cell2 = p2 | 0;
    const t0 = p0 - cell0;
    const t1 = p1 - cell1;
    const t2 = p2 - cell2;
    const a0 = cell0 * 4 * CHANNELS;
    const a1 = cell1 * 4 * CHANNELS;
    const a2 = cell2 * 4 * CHANNELS;
    const o = i * CHANNELS;
    out[o] += w0 * cubic(a, a0, t0) + w1 * cubic(a, a1, t1) + w2 * cubic(a, a2, t2);
    out[o + 1] += w0 * cubic(a, a0 + 4, t0) + w1 * cubic(a, a1 + 4, t1) + w2 * cubic(a, a2 + 4, t2);
    out[o + 2] += w0 * cubic(a, a0 + 8, t0) + w1 * cubic(a, a1 + 8, t1) + w2 * cubic(a, a2 + 8, t2);
  }
}
