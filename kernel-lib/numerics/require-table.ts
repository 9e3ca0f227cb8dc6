/** Refuses a table whose columns differ in length, are too short, are not finite or do not ascend. */
export function requireTable(xs: ArrayLike<number>, ys: ArrayLike<number>, least: number): void {
  if (xs.length !== ys.length) {
    throw new RangeError(
      `A table needs as many ys as xs, but has ${xs.length} xs and ${ys.length} ys.`,
    );
  }
  if (xs.length < least) {
    throw new RangeError(`A table needs at least ${least} points, but has ${xs.length}.`);
  }
  for (let i = 0; i < xs.length; i++) {
    if (!Number.isFinite(xs[i]) || !Number.isFinite(ys[i])) {
      throw new RangeError(`Point ${i} of the table is (${xs[i]}, ${ys[i]}): give finite numbers.`);
    }
    if (i > 0 && xs[i] <= xs[i - 1]) {
      throw new RangeError(
        `The xs of a table must ascend, but ${xs[i]} follows ${xs[i - 1]}: sort the points.`,
      );
    }
  }
}
