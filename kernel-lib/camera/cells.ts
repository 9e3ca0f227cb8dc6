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

/** Polynomials in t = 0…1 across cells of equal length: coefficients by cell, then channel, then power of t. */
export interface Cells {
  readonly step: number;
  readonly coefficients: Float64Array;
}

/**
 * The polynomial of degree 3 with both nodes' values and slopes (Hermite). For cos(ky) and cells of
 * length h its error is below (kh)⁴/384.
 */
export function cubicCells({ step, value, slope }: Nodes): Cells {
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
export function quinticCells({ step, value, slope, curvature }: Nodes): Cells {
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
