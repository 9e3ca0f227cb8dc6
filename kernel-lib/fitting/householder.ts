/** A least squares problem ‖J δ − r‖ brought to triangular form: R δ = Qᵀr. */
export interface Triangle {
  /** R, row by row; only the upper triangle is used. */
  readonly rows: readonly Float64Array[];
  /** The first n entries of Qᵀr. */
  readonly right: Float64Array;
}

/**
 * Householder QR of a matrix given by its columns, applied to the right-hand side at the same time.
 *
 * The columns and the right-hand side are overwritten.
 *
 * @param columns n columns of equal length m ≥ n
 * @param right the right-hand side, length m
 * @see Golub and Van Loan, Matrix Computations, section 5.2 (common practice, from memory)
 */
export function triangulate(columns: readonly Float64Array[], right: Float64Array): Triangle {
  const count = columns.length;
  const rows = Array.from({ length: count }, () => new Float64Array(count));
  const turned = new Float64Array(count);
  // A column of zeros takes no equation away from the others.
  let from = 0;
  for (let k = 0; k < count; k++) {
    const pivot = reflect(columns, right, k, from);
    if (pivot === 0) continue;
    for (let j = k + 1; j < count; j++) rows[k][j] = columns[j][from];
    rows[k][k] = pivot;
    turned[k] = right[from++];
  }
  return { rows, right: turned };
}

/** Reflect column k onto its entry `from`, carry the later ones and the right-hand side along, return that entry. */
function reflect(
  columns: readonly Float64Array[],
  right: Float64Array,
  k: number,
  from: number,
): number {
  const column = columns[k];
  const length = column.length;
  let even = 0;
  let odd = 0;
  for (let i = from; i + 1 < length; i += 2) {
    even += column[i] * column[i];
    odd += column[i + 1] * column[i + 1];
  }
  if ((length - from) % 2 === 1) even += column[length - 1] * column[length - 1];
  const norm = Math.sqrt(even + odd);
  if (norm === 0) return 0;
  const pivot = column[from] > 0 ? -norm : norm;
  column[from] -= pivot;
  // |v|² = 2 (norm² − x pivot) with v the column after the line above; no cancellation since the signs differ.
  const scale = 1 / (norm * Math.abs(column[from]));
  for (let j = k + 1; j <= columns.length; j += 2) {
    const one = j < columns.length ? columns[j] : right;
    if (j < columns.length) reflectTwo(column, one, columns[j + 1] ?? right, from, scale);
    else reflectOne(column, one, from, scale);
  }
  return pivot;
}

function reflectOne(v: Float64Array, a: Float64Array, k: number, scale: number): void {
  let dot = 0;
  for (let i = k; i < v.length; i++) dot += v[i] * a[i];
  const factor = dot * scale;
  for (let i = k; i < v.length; i++) a[i] -= factor * v[i];
}

/** Two columns in one go: the pass over v serves both, and neither sum waits for the other. */
function reflectTwo(
  v: Float64Array,
  a: Float64Array,
  b: Float64Array,
  k: number,
  scale: number,
): void {
  let p = 0;
  let q = 0;
  let r = 0;
  let s = 0;
  let i = k;
  for (; i + 1 < v.length; i += 2) {
    const v0 = v[i];
    const v1 = v[i + 1];
    p += v0 * a[i];
    q += v1 * a[i + 1];
    r += v0 * b[i];
    s += v1 * b[i + 1];
  }
  if (i < v.length) {
    p += v[i] * a[i];
    r += v[i] * b[i];
  }
  const forA = (p + q) * scale;
  const forB = (r + s) * scale;
  for (i = k; i < v.length; i++) {
    const value = v[i];
    a[i] -= forA * value;
    b[i] -= forB * value;
  }
}

/** Solve R δ = right by back substitution. A zero on the diagonal gives a zero there: that direction cannot be known. */
export function backSubstitute({ rows, right }: Triangle): Float64Array {
  const count = rows.length;
  const solution = new Float64Array(count);
  for (let k = count - 1; k >= 0; k--) {
    let sum = right[k];
    for (let j = k + 1; j < count; j++) sum -= rows[k][j] * solution[j];
    solution[k] = rows[k][k] === 0 ? 0 : sum / rows[k][k];
  }
  return solution;
}

/**
 * The damped step: minimise ‖R δ − right‖² + Σ (damping_j δ_j)², again by QR, never by normal equations.
 */
export function dampedStep({ rows, right }: Triangle, damping: ArrayLike<number>): Float64Array {
  const count = rows.length;
  const columns = Array.from({ length: count }, (_, j) => {
    const column = new Float64Array(2 * count);
    for (let i = 0; i <= j; i++) column[i] = rows[i][j];
    column[count + j] = damping[j];
    return column;
  });
  const tall = new Float64Array(2 * count);
  tall.set(right);
  return backSubstitute(triangulate(columns, tall));
}

/**
 * (JᵀJ)⁻¹ = R⁻¹ R⁻ᵀ, the covariance for unit weight.
 *
 * The columns are brought to length 1 first, so the verdict does not depend on units.
 *
 * @returns the matrix, or undefined when the columns are dependent to within rounding
 */
export function inverseNormal({ rows }: Triangle): number[][] | undefined {
  const count = rows.length;
  const norms = Array.from({ length: count }, (_, j) =>
    Math.hypot(...rows.slice(0, j + 1).map((row) => row[j])),
  );
  if (norms.some((norm) => !(norm > 0) || !Number.isFinite(norm))) return undefined;
  const inverse = Array.from({ length: count }, (_, j) => {
    const unit = new Float64Array(count);
    unit[j] = 1;
    const scaled = rows.map((row) => row.map((value, i) => value / norms[i]));
    return backSubstitute({ rows: scaled, right: unit });
  });
  const largest = Math.max(...inverse.map((column) => Math.hypot(...column)));
  if (!(largest < 1e13) || rows.some((row, k) => row[k] === 0)) return undefined;
  const entry = (i: number, j: number) => {
    let sum = 0;
    for (let k = Math.max(i, j); k < count; k++) sum += inverse[k][i] * inverse[k][j];
    return sum / norms[i] / norms[j];
  };
  return rows.map((_, i) => rows.map((__, j) => entry(i, j)));
}
