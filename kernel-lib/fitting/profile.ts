import { requireFinite } from '../numerics/require';

/** A measured pattern along one line: position and signal. */
export interface Profile {
  /** Positions, m, ascending (or direction sines, where a function says so). */
  readonly x: Float64Array;
  /** Signal, linear in irradiance, any unit. */
  readonly y: Float64Array;
  /** Standard uncertainty of each y, when it is known. */
  readonly u?: Float64Array;
  /** 1 where the detector was at its limit, so that y says only "at least"; left out: nowhere. */
  readonly saturated?: Uint8Array;
  /** Relative standard uncertainty of all lengths along x: of the scale of a picture. Left out: 0. */
  readonly uScale?: number;
}

/**
 * Check a profile once, at the door.
 *
 * @throws TypeError without x and y; RangeError on unequal lengths, NaN, or positions that do not ascend
 */
export function checkProfile(profile: Profile): Profile {
  const { x, y, u, saturated, uScale } = profile ?? {};
  if (typeof x?.length !== 'number' || typeof y?.length !== 'number') {
    throw new TypeError(
      'A profile needs x (positions, m) and y (signal), two lists of equal length.',
    );
  }
  for (const [name, list] of Object.entries({ y, u, saturated })) {
    if (list && list.length !== x.length) {
      throw new RangeError(
        `${name} has ${list.length} values for ${x.length} positions: every position needs one.`,
      );
    }
  }
  const mend = 'leave that point out';
  for (let i = 0; i < x.length; i++) {
    for (const [name, value] of [
      ['x', x[i]],
      ['y', y[i]],
    ] as const)
      if (!Number.isFinite(value)) requireFinite(`${name}[${i}] of the profile`, value, mend);
    if (i > 0 && !(x[i] > x[i - 1])) {
      throw new RangeError(
        `Positions must ascend, but x[${i}] = ${x[i]} follows ${x[i - 1]}: sort the points by position and join double ones.`,
      );
    }
  }
  return {
    x: asFloats(x),
    y: asFloats(y),
    u: u && asFloats(u),
    saturated: saturated && Uint8Array.from(saturated),
    ...(uScale === undefined ? {} : { uScale }),
  };
}

const asFloats = (list: Float64Array) =>
  list instanceof Float64Array ? list : Float64Array.from(list);

/**
 * The profile without its saturated points.
 *
 * @throws RangeError when nothing is left
 */
export function withoutSaturated(profile: Profile): Profile {
  const { x, y, u, saturated } = profile;
  if (!saturated?.includes(1)) return profile;
  const keep = (_: number, i: number) => !saturated[i];
  const left = x.filter(keep);
  if (left.length === 0) {
    throw new RangeError(
      `All ${x.length} points of the profile are saturated: nothing is left to fit. Expose shorter.`,
    );
  }
  return { x: left, y: y.filter(keep), u: u?.filter(keep) };
}

/** At most `most` points, each the mean of neighbours, for a quick first look. */
export function thinned(profile: Profile, most = 600): Profile {
  const { x, y, u } = profile;
  const group = Math.ceil(x.length / most);
  if (group === 1) return { x, y, u };
  const count = Math.floor(x.length / group);
  const mean = (list: Float64Array) =>
    Float64Array.from({ length: count }, (_, k) => {
      let sum = 0;
      for (let i = k * group; i < (k + 1) * group; i++) sum += list[i];
      return sum / group;
    });
  const pooled =
    u && mean(u.map((value) => value * value)).map((value) => Math.sqrt(value / group));
  return { x: mean(x), y: mean(y), u: pooled };
}

/** About `most` single points, evenly taken, for trying many guesses. */
export function everyFew({ x, y, u }: Profile, most: number): Profile {
  const stride = Math.max(1, Math.floor(x.length / most));
  const keep = (_: number, i: number) => i % stride === 0;
  return { x: x.filter(keep), y: y.filter(keep), u: u?.filter(keep) };
}
