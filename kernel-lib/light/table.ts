/** Columns of numbers from a CSV text, each turned by its own factor; `skip` is the number of heading lines. */
export function numberColumns(csv: string, skip: number, factors: readonly number[]): number[][] {
  const columns: number[][] = factors.map(() => []);
  for (const line of csv.trim().split(/\r?\n/).slice(skip)) {
    const cells = line.split(',');
    factors.forEach((factor, i) => {
      columns[i].push(Number(cells[i]) * factor);
    });
  }
  return columns;
}

/** Value at x of straight lines through (xs, ys), xs ascending; 0 outside. */
export function straightBetween(xs: readonly number[], ys: readonly number[], x: number): number {
  const last = xs.length - 1;
  if (x < xs[0] || x > xs[last]) return 0;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (xs[middle] <= x) low = middle;
    else high = middle;
  }
  return ys[low] + ((ys[high] - ys[low]) * (x - xs[low])) / (xs[high] - xs[low]);
}
