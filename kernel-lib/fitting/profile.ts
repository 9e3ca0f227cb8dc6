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
}

/**
 * Check a profile once, at the door.
 *
 * @throws TypeError without x and y; RangeError on unequal lengths, NaN, or positions that do not ascend
 */
export function checkProfile(profile: Profile): Profile {
  const { x, y, u, saturated } = profile ?? {};
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
  for (let i = 0; i < x.length; i++) {
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i])) {
      throw new RangeError(
        `Point ${i} of the profile is (${x[i]}, ${y[i]}): positions and signal must be finite numbers. Leave it out.`,
      );
    }
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
  };
}

const asFloats = (list: Float64Array) =>
  list instanceof Float64Array ? list : Float64Array.from(list);
