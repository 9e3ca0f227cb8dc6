import { requireFinite, requirePositive } from '../numerics/require';

/** Measured points: x (anything the model takes), y, and if known the standard uncertainty of each y. */
export interface FitData<X = number> {
  readonly x: ArrayLike<X>;
  readonly y: ArrayLike<number>;
  /** One for each y, or one number for all. */
  readonly u?: ArrayLike<number> | number;
}

/** Numbers ready for fitting: y and 1/u. */
export interface Points {
  readonly y: Float64Array;
  /** 1/u of each point; all 1 when no uncertainty was given. */
  readonly weights: Float64Array;
  /** True when u was given: the covariance is then absolute. */
  readonly absolute: boolean;
}

/**
 * Check the data of a fit once, at the door.
 *
 * @param data the points
 * @param parameters how many parameters are to be found
 * @throws RangeError naming the first thing that is wrong
 */
export function checkPoints(data: FitData<unknown>, parameters: number): Points {
  const { x, y, u } = data;
  if (typeof y?.length !== 'number' || typeof x?.length !== 'number') {
    throw new TypeError(
      'The data need x and y, two lists of equal length: { x: […], y: […], u: […] }.',
    );
  }
  if (x.length !== y.length) {
    throw new RangeError(
      `x has ${x.length} values and y has ${y.length}: every point needs both. Leave out or complete the odd ones.`,
    );
  }
  if (y.length < parameters) {
    throw new RangeError(
      `${y.length} points cannot fix ${parameters} parameters: at least ${parameters} points are needed, better many more. Take more points or fix a parameter.`,
    );
  }
  const mend = 'a fit needs numbers; leave that point out';
  for (let i = 0; i < y.length; i++) {
    if (!Number.isFinite(y[i])) requireFinite(`y[${i}]`, y[i], mend);
    const place = x[i];
    if (typeof place === 'number' && !Number.isFinite(place)) requireFinite(`x[${i}]`, place, mend);
  }
  return {
    y: y instanceof Float64Array ? y : Float64Array.from(y),
    weights: weightsOf(u, y.length),
    absolute: u !== undefined,
  };
}

function weightsOf(u: ArrayLike<number> | number | undefined, length: number): Float64Array {
  if (u === undefined) return new Float64Array(length).fill(1);
  const list = typeof u === 'number' ? new Float64Array(length).fill(u) : u;
  if (list.length !== length) {
    throw new RangeError(
      `u has ${list.length} values for ${length} points: give one standard uncertainty for each y, or one number for all.`,
    );
  }
  const mend = 'a standard uncertainty has the unit of y; leave the point out if it says nothing';
  const weights = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    if (!(list[i] > 0 && list[i] < Infinity)) requirePositive(`u[${i}]`, list[i], mend);
    weights[i] = 1 / list[i];
  }
  return weights;
}
