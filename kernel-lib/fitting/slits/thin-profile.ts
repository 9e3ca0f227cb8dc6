import type { Profile } from '../profile';

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
