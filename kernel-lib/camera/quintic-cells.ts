/** X, Y, Z and power: the channels of a table, interleaved. */
export const CHANNELS = 4;
/** Numbers in one cell of a table: six coefficients of a polynomial for each channel. */
export const PER_CELL = 6 * CHANNELS;

/** Value, slope and curvature of the channels at equally spaced nodes, interleaved by channel. */
export interface Nodes {
  readonly step: number;
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly curvature: Float64Array;
}

/**
 * Between neighbouring nodes, the polynomial of degree 5 that has both nodes' values, slopes and
 * curvatures (quintic Hermite interpolation).
 *
 * Its argument is t = 0…1 across the cell. For cos(ky) and cells of length h its error is below
 * (kh)⁶/46080, that of its second derivative below (kh)⁴/1920.
 *
 * @returns coefficients by cell, then channel, then power of t
 */
export function quinticCells({ step, value, slope, curvature }: Nodes): Float64Array {
  const cells = value.length / CHANNELS - 1;
  const table = new Float64Array(cells * PER_CELL);
  for (let i = 0; i < cells * CHANNELS; i++) {
    const j = i + CHANNELS;
    const v = value[i];
    const d = slope[i] * step;
    const c = curvature[i] * step * step;
    const rise = value[j] - v - d - c / 2;
    const bend = slope[j] * step - d - c;
    const turn = curvature[j] * step * step - c;
    const at = 6 * i;
    table[at] = v;
    table[at + 1] = d;
    table[at + 2] = c / 2;
    table[at + 3] = 10 * rise - 4 * bend + turn / 2;
    table[at + 4] = -15 * rise + 7 * bend - turn;
    table[at + 5] = 6 * rise - 3 * bend + turn / 2;
  }
  return table;
}
