import { type Bound, Derivatives } from '../../kernel-lib/fitting/derivatives';

/** What a model says at one of `times`. */
export type Model = (t: number, p: readonly number[]) => number;
const times = [0.2, 0.5, 1, 1.7, 2.2];

/** Derivatives of a model over `times`, asked for `again` times, and where it was called for the last ones. */
export function asked(
  model: Model,
  at: readonly number[],
  {
    fine = false,
    start = at,
    bounds = [],
    again = 1,
  }: {
    fine?: boolean;
    start?: readonly number[];
    bounds?: readonly (Bound | undefined)[];
    again?: number;
  } = {},
) {
  const calls: number[][] = [];
  const weighted = (p: number[], out: Float64Array) => {
    calls.push([...p]);
    for (const [i, t] of times.entries()) out[i] = model(t, p);
  };
  const here = Float64Array.from(times, (t) => model(t, at));
  const derivatives = new Derivatives(weighted, times.length, start, bounds);
  let columns: Float64Array[] = [];
  for (let k = 0; k < again; k++) {
    calls.length = 0;
    columns = derivatives.columns(at, here, fine);
  }
  return { columns, calls };
}

/** Largest error of a column relative to its largest entry. */
export function error(column: ArrayLike<number>, slope: (t: number) => number) {
  const exact = times.map(slope);
  const largest = Math.max(...exact.map(Math.abs));
  return Math.max(...exact.map((value, i) => Math.abs(column[i] - value))) / largest;
}
