/** X, Y, Z: the channels of a table, interleaved. */
export const CHANNELS = 3;

/** A sum over wavelengths (m), with its weights for each channel, interleaved. */
export interface ChannelSum {
  readonly wavelengths: Float64Array;
  readonly weights: Float64Array;
}

/** Channels of a function and its derivatives at equally spaced nodes y = 0, step, 2 step …, interleaved by channel. */
export interface Nodes {
  readonly step: number;
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly curvature: Float64Array;
}

/** A polynomial in t = 0…1 on each of many equal intervals: coefficients by interval, then channel, then power of t. */
export interface Spline {
  readonly step: number;
  readonly coefficients: Float64Array;
}

/**
 * The polynomial of degree 3 with both nodes' values and slopes (Hermite). For cos(ky) and intervals
 * of length h its error is below (kh)⁴/384.
 */
export function cubicSpline({ step, value, slope }: Nodes): Spline {
  const coefficients = new Float64Array((value.length - CHANNELS) * 4);
  for (let i = 0; i < value.length - CHANNELS; i++) {
    const j = i + CHANNELS;
    const rise = value[j] - value[i];
    const [d, e] = [slope[i] * step, slope[j] * step];
    coefficients[4 * i] = value[i];
    coefficients[4 * i + 1] = d;
    coefficients[4 * i + 2] = 3 * rise - 2 * d - e;
    coefficients[4 * i + 3] = d + e - 2 * rise;
  }
  return { step, coefficients };
}

/**
 * The polynomial of degree 5 with both nodes' values, slopes and curvatures. For cos(ky) its error is
 * below (kh)⁶/46080, and that of its second derivative below (kh)⁴/1920.
 */
export function quinticSpline({ step, value, slope, curvature }: Nodes): Spline {
  const coefficients = new Float64Array((value.length - CHANNELS) * 6);
  for (let i = 0; i < value.length - CHANNELS; i++) {
    const j = i + CHANNELS;
    const d = slope[i] * step;
    const c = curvature[i] * step * step;
    const rise = value[j] - value[i] - d - c / 2;
    const bend = slope[j] * step - d - c;
    const turn = curvature[j] * step * step - c;
    coefficients[6 * i] = value[i];
    coefficients[6 * i + 1] = d;
    coefficients[6 * i + 2] = c / 2;
    coefficients[6 * i + 3] = 10 * rise - 4 * bend + turn / 2;
    coefficients[6 * i + 4] = -15 * rise + 7 * bend - turn;
    coefficients[6 * i + 5] = 6 * rise - 3 * bend + turn / 2;
  }
  return { step, coefficients };
}

/** Values at equally spaced nodes, to be joined by straight lines. */
export interface Lines {
  readonly step: number;
  /** Channels interleaved. */
  readonly value: Float64Array;
  /** At each node: what a line there or farther out differs from the function by, at most (to 1 %), in any channel. */
  readonly error: Float64Array;
}

/**
 * Nodes twice as close as those of a spline of degree 3. A line's error is an eighth of the largest curvature along
 * it, which the second differences of nodes this close tell to 1 %.
 */
export function linesOf({ step, coefficients }: Spline): Lines {
  const intervals = coefficients.length / (4 * CHANNELS);
  const nodes = 2 * intervals + 1;
  const value = new Float64Array(CHANNELS * nodes);
  for (let o = 0; o < value.length; o++) {
    const node = Math.trunc(o / CHANNELS);
    const interval = Math.min(node >> 1, intervals - 1);
    const at = 4 * (CHANNELS * interval + (o % CHANNELS));
    value[o] = cubic(coefficients, at, node / 2 - interval);
  }
  const error = new Float64Array(nodes);
  let most = 0;
  for (let i = nodes - 2; i >= 0; i--) {
    const from = CHANNELS * Math.max(0, i - 1);
    for (let c = from; c < from + CHANNELS; c++) {
      const bend = value[c] - 2 * value[c + CHANNELS] + value[c + 2 * CHANNELS];
      most = Math.max(most, Math.abs(bend) / 8);
    }
    error[i] = most;
  }
  return { step: step / 2, value, error };
}

/** Value at t of the polynomial of degree 3 whose coefficients begin at `at`. */
export function cubic(a: Float64Array, at: number, t: number): number {
  return a[at] + t * (a[at + 1] + t * (a[at + 2] + t * a[at + 3]));
}

/** Value at t of the polynomial of degree 5 whose coefficients begin at `at`. */
export function quintic(a: Float64Array, at: number, t: number): number {
  return (
    a[at] + t * (a[at + 1] + t * (a[at + 2] + t * (a[at + 3] + t * (a[at + 4] + t * a[at + 5]))))
  );
}
