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
