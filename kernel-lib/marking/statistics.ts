/** How a question did in a class. */
export interface QuestionStatistics {
  /** Mean mark over the mark that could be earned, 0…1: near 1 is easy. */
  readonly facility: number;
  /**
   * Correlation between the mark for this question and the marks for all others, −1…1: near 0 or below means
   * that those who do well elsewhere do no better here. Undefined where one of the two does not vary.
   */
  readonly discrimination: number | undefined;
}

const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;

/**
 * Pearson's correlation, Σ(x−x̄)(y−ȳ) / √(Σ(x−x̄)² Σ(y−ȳ)²).
 *
 * @returns −1…1, or undefined when either list does not vary
 */
export function correlation(x: readonly number[], y: readonly number[]): number | undefined {
  const mx = mean(x);
  const my = mean(y);
  let [xy, xx, yy] = [0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    xy += (x[i] - mx) * (y[i] - my);
    xx += (x[i] - mx) ** 2;
    yy += (y[i] - my) ** 2;
  }
  const size = Math.sqrt(xx * yy);
  return size > 0 ? xy / size : undefined;
}

/**
 * Facility and corrected item–rest correlation of each question, the two figures of classical test analysis
 * (common practice, no source).
 *
 * @param marks one row a student, one column a question
 * @param outOf what each question could earn
 */
export function questionStatistics(
  marks: readonly (readonly number[])[],
  outOf: readonly number[],
): QuestionStatistics[] {
  const totals = marks.map((row) => row.reduce((a, b) => a + b, 0));
  return outOf.map((full, q) => {
    const own = marks.map((row) => row[q]);
    const rest = totals.map((total, i) => total - own[i]);
    return {
      facility: marks.length > 0 ? mean(own) / full : 0,
      discrimination: marks.length > 2 ? correlation(own, rest) : undefined,
    };
  });
}
