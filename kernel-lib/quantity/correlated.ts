import { type Cause, type Evaluation, Measured } from './measured';

/**
 * Measured values that belong together, such as the parameters of one fit.
 *
 * They are written as sums over independent causes, by the triangular factor L of their covariance
 * matrix V = L Lᵀ, so that what is computed from them keeps their correlation. They were evaluated together, so
 * whatever is computed from them alone has their degrees of freedom.
 *
 * @param values in any units
 * @param covariance symmetric matrix of the products of those units; positive semidefinite
 * @param options freedom: degrees of freedom behind the matrix (default Infinity)
 * @returns one measured value for each, in the same order
 * @throws RangeError when the matrix has the wrong size, is not symmetric or is no covariance matrix
 * @see JCGM 100:2008, 5.2.2
 * @example String(correlated([1, 2], [[0.04, 0.01], [0.01, 0.09]])) // '1.00(20),2.0(3)'
 */
export function correlated(
  values: readonly number[],
  covariance: readonly (readonly number[])[],
  options: { readonly freedom?: number } = {},
): Measured[] {
  const { freedom = Number.POSITIVE_INFINITY } = options;
  checkMatrix(values, covariance);
  const factor = triangularFactor(covariance);
  const evaluation = { freedom };
  const causes: Cause[] = values.map(() => ({ evaluation }));
  return values.map((value, i) => {
    const parts = factor[i].flatMap((part, j) => (part === 0 ? [] : [[causes[j], part] as const]));
    return new Measured(value, new Map(parts));
  });
}

function checkMatrix(values: readonly number[], matrix: readonly (readonly number[])[]): void {
  const n = values.length;
  if (matrix.length !== n || matrix.some((row) => row.length !== n))
    throw new RangeError(`The covariance matrix of ${n} values has ${n} rows of ${n} numbers.`);
  if (![values, ...matrix].flat().every(Number.isFinite))
    throw new RangeError('Values and covariances must be finite numbers.');
  matrix.forEach((row, i) => {
    row.forEach((v, j) => {
      const scale = Math.sqrt(Math.abs(matrix[i][i] * matrix[j][j]));
      if (Math.abs(v - matrix[j][i]) > 1e-9 * scale)
        throw new RangeError(`The covariance matrix is not symmetric at row ${i}, column ${j}.`);
    });
  });
}

/** Cholesky's factor, which may have zero columns: values that are exact, or bound to each other. */
function triangularFactor(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const factor = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let j = 0; j < n; j++) {
    const left = (i: number) => {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k++) sum -= factor[i][k] * factor[j][k];
      return sum;
    };
    const square = left(j);
    // Below this the rest is rounding.
    const floor = 1e-12 * Math.abs(matrix[j][j]);
    if (square < -1e-9 * Math.abs(matrix[j][j]) || matrix[j][j] < 0)
      throw new RangeError(
        'This is no covariance matrix: some combination has a negative variance.',
      );
    if (square <= floor) {
      for (let i = j + 1; i < n; i++)
        if (Math.abs(left(i)) > 1e-6 * Math.sqrt(matrix[i][i] * matrix[j][j]))
          throw new RangeError('This is no covariance matrix: a correlation exceeds 1.');
      continue;
    }
    factor[j][j] = Math.sqrt(square);
    for (let i = j + 1; i < n; i++) factor[i][j] = left(i) / factor[j][j];
  }
  return factor;
}

/**
 * Covariance of two measured values, from the causes that they share.
 *
 * @returns in the product of their units
 * @see JCGM 100:2008, 5.2.2 and F.1.2.3
 * @example covariance(...correlated([1, 2], [[0.04, 0.01], [0.01, 0.09]])) // 0.01
 */
export function covariance(a: Measured, b: Measured): number {
  let sum = 0;
  for (const [cause, part] of a.contributions) sum += part * (b.contributions.get(cause) ?? 0);
  return sum;
}

/**
 * Correlation coefficient of two measured values.
 *
 *   r = u(a, b) / (u(a) u(b))
 *
 * @returns −1…1; 0 when one of them has no uncertainty
 * @see JCGM 100:2008, 5.2.2
 * @example correlation(...correlated([1, 2], [[0.04, 0.01], [0.01, 0.09]])) // 0.166666…
 */
export function correlation(a: Measured, b: Measured): number {
  const product = a.u * b.u;
  return product === 0 ? 0 : Math.max(-1, Math.min(1, covariance(a, b) / product));
}

/**
 * Effective degrees of freedom by the Welch–Satterthwaite formula. Values that were evaluated together, such as the
 * means of readings taken together or the parameters of one fit, count as one term with one ν.
 *
 *   ν = u⁴ / Σ uₑ⁴/νₑ,  uₑ² = the sum of u²ᵢ over the causes i of evaluation e
 *
 * @returns ν > 0; Infinity when every uncertainty is known exactly
 * @see JCGM 100:2008, G.4.1; for values evaluated together R. Willink, Metrologia 44 (2007) 340 (both cited from memory)
 * @example effectiveFreedom(measured(1, 0.1, { freedom: 5 })) // 5
 */
export function effectiveFreedom(x: Measured): number {
  const squares = new Map<Evaluation, number>();
  for (const [{ evaluation }, part] of x.contributions)
    squares.set(evaluation, (squares.get(evaluation) ?? 0) + part ** 2);
  let sum = 0;
  let total = 0;
  for (const [{ freedom }, square] of squares) {
    total += square;
    sum += square ** 2 / freedom;
  }
  return sum === 0 ? Number.POSITIVE_INFINITY : total ** 2 / sum;
}
