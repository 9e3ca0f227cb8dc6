import { type Cells, CHANNELS, type Nodes, quintic } from './cells';

/** Gauss–Legendre of five points on 0…1. @see Abramowitz and Stegun, table 25.4 */
const HALF = [0, 0.538469310105683, 0.906179845938664];
const SHARE = [0.568888888888889 / 2, 0.478628670499366 / 2, 0.236926885056189 / 2];
const points = [
  [0.5, SHARE[0]],
  ...[1, 2].flatMap((i) => [
    [0.5 - HALF[i] / 2, SHARE[i]],
    [0.5 + HALF[i] / 2, SHARE[i]],
  ]),
];

/**
 * ∫₀ʸ M(u)/u² du, the pattern summed over directions, from the cells and nodes of M.
 *
 * @returns nodes with slope M/y² and curvature (M/y²)′
 */
export function firstIntegral(kernel: Nodes, cells: Cells): Nodes {
  const { step } = kernel;
  const { coefficients } = cells;
  const size = kernel.value.length;
  const value = new Float64Array(size);
  const slope = new Float64Array(size);
  const curvature = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    const node = Math.floor(i / CHANNELS);
    const y = node * step;
    // At 0 M is y²K(0)/2 or, of the odd kernel, y³K′(0)/6, read off the first cell.
    slope[i] = node === 0 ? kernel.curvature[i] / 2 : kernel.value[i] / y ** 2;
    curvature[i] =
      node === 0
        ? coefficients[6 * i + 3] / step ** 3
        : (kernel.slope[i] - (2 * kernel.value[i]) / y) / y ** 2;
    if (node === 0) continue;
    let area = 0;
    for (const [t, share] of points) {
      const u = (node - 1 + t) * step;
      area += (share * quintic(coefficients, 6 * (i - CHANNELS), t)) / u ** 2;
    }
    value[i] = value[i - CHANNELS] + area * step;
  }
  return { step, value, slope, curvature };
}

/** ∫₀ʸ of a function given by its nodes and cells. */
export function secondIntegral(first: Nodes, { step, coefficients }: Cells): Nodes {
  const value = new Float64Array(first.value.length);
  for (let i = CHANNELS; i < value.length; i++) {
    const at = 6 * (i - CHANNELS);
    let area = 0;
    for (let power = 5; power >= 0; power--) area += coefficients[at + power] / (power + 1);
    value[i] = value[i - CHANNELS] + area * step;
  }
  return { step, value, slope: first.value, curvature: first.slope };
}
