import { CHANNELS, cubic, type Lines, quintic, type Spline } from './spline';

/**
 * Σ weight_j · M(lag_j · s) for many s, added to `out` (3 channels for each s); M from a spline of degree 5.
 *
 * Lag by lag, so that the table is read from one end to the other; nothing is allocated.
 */
export function addQuinticSum(
  { step, coefficients }: Spline,
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
      const interval = place | 0;
      const t = place - interval;
      const at = interval * 6 * CHANNELS;
      const o = i * CHANNELS;
      out[o] += weight * quintic(coefficients, at, t);
      out[o + 1] += weight * quintic(coefficients, at + 6, t);
      out[o + 2] += weight * quintic(coefficients, at + 12, t);
    }
  }
}

/**
 * The same for s above 0, ascending, by the cheapest reading of M that is close enough: straight lines
 * where all of them together are off by `allowed` · s² at most, since the sum is divided by s² later and
 * since M fades out, as white light loses coherence; a spline of degree 3 elsewhere.
 *
 * Three lags to a pass: equal slits have their lags in threes, and `out` is then read and written a
 * third as often. With the spline of degree 3 one look-up is 24 multiplications and additions on 96 bytes,
 * measured at 6 ns; with lines 17 on 48 bytes, 4 ns. Either is some 18 or 12 cycles, where two
 * operations a cycle, all that one JavaScript thread can do, would take 12 or 9: arithmetic is the limit.
 * The tables of 20 slits over ±26 mrad, 1 and 0.5 MB, are read in order and stay in the second cache.
 */
export function addFarSum(
  spline: Spline,
  lines: Lines,
  allowed: number,
  lags: Float64Array,
  weights: Float64Array,
  s: Float64Array,
  out: Float64Array,
): void {
  const starts = linesFrom(lines, allowed, lags, weights, s);
  const a = 1 / spline.step;
  const b = 1 / lines.step;
  for (let j = 0; j < lags.length; j += 3) {
    const [w0, w1, w2] = [weights[j], weights[j + 1] ?? 0, weights[j + 2] ?? 0];
    const [c0, c1, c2] = [lags[j], lags[j + 1] ?? 0, lags[j + 2] ?? 0];
    const from = starts[j / 3];
    addThree(spline.coefficients, w0, w1, w2, c0 * a, c1 * a, c2 * a, s, out, from);
    addThreeLines(lines.value, w0, w1, w2, c0 * b, c1 * b, c2 * b, s, out, from);
  }
}

/** At how many sines it is looked up where lines begin to do. */
const PROBES = 32;

/** The index in `s` from which lines will do, for each three lags: for longer lags sooner, as M fades out. */
function linesFrom(
  { step, error }: Lines,
  allowed: number,
  lags: Float64Array,
  weights: Float64Array,
  s: Float64Array,
): Int32Array {
  const passes = Math.ceil(lags.length / 3);
  const from = new Int32Array(passes).fill(s.length);
  for (let probe = PROBES - 1; probe >= 0; probe--) {
    const i = Math.trunc((probe * s.length) / PROBES);
    let left = allowed * s[i] * s[i];
    for (let pass = passes - 1; pass >= 0; pass--) {
      for (let j = 3 * pass; j < Math.min(3 * pass + 3, lags.length); j++) {
        left -= Math.abs(weights[j]) * error[((lags[j] / step) * s[i]) | 0];
      }
      if (!(left >= 0)) break;
      from[pass] = i;
    }
  }
  return from;
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
  to: number,
): void {
  for (let i = 0; i < to; i++) {
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

function addThreeLines(
  a: Float64Array,
  w0: number,
  w1: number,
  w2: number,
  c0: number,
  c1: number,
  c2: number,
  s: Float64Array,
  out: Float64Array,
  from: number,
): void {
  for (let i = from; i < s.length; i++) {
    const p0 = c0 * s[i];
    const p1 = c1 * s[i];
    const p2 = c2 * s[i];
    const node0 = p0 | 0;
    const node1 = p1 | 0;
    const node2 = p2 | 0;
    // Each value's weight times its share of the line.
    const r0 = w0 * (p0 - node0);
    const r1 = w1 * (p1 - node1);
    const r2 = w2 * (p2 - node2);
    const l0 = w0 - r0;
    const l1 = w1 - r1;
    const l2 = w2 - r2;
    const a0 = node0 * CHANNELS;
    const a1 = node1 * CHANNELS;
    const a2 = node2 * CHANNELS;
    const o = i * CHANNELS;
    out[o] +=
      l0 * a[a0] + r0 * a[a0 + 3] + l1 * a[a1] + r1 * a[a1 + 3] + l2 * a[a2] + r2 * a[a2 + 3];
    out[o + 1] +=
      l0 * a[a0 + 1] +
      r0 * a[a0 + 4] +
      l1 * a[a1 + 1] +
      r1 * a[a1 + 4] +
      l2 * a[a2 + 1] +
      r2 * a[a2 + 4];
    out[o + 2] +=
      l0 * a[a0 + 2] +
      r0 * a[a0 + 5] +
      l1 * a[a1 + 2] +
      r1 * a[a1 + 5] +
      l2 * a[a2 + 2] +
      r2 * a[a2 + 5];
  }
}
