import { requireNotNegative, requireNumbers } from '../numerics/require';

/**
 * Visibility of fringes: 1 when the dark ones are black, 0 when none are seen.
 *
 *   V = (max − min) / (max + min)
 *
 * @param profile intensities over at least one whole fringe, none negative, any unit
 * @returns 0…1
 * @throws RangeError, TypeError for no values, negative or infinite ones, or none above 0
 * @see common practice, no source (Michelson's definition)
 * @example visibility([3, 1, 3]) // 0.5
 */
export function visibility(profile: ArrayLike<number>): number {
  requireNumbers('profile', profile, 'give the intensities over at least one fringe', { least: 1 });
  let [least, most] = [Infinity, -Infinity];
  for (let i = 0; i < profile.length; i++) {
    least = Math.min(least, profile[i]);
    most = Math.max(most, profile[i]);
  }
  requireNotNegative('An intensity', least, 'take off less background');
  if (most > 0) return (most - least) / (most + least);
  throw new RangeError(
    'All intensities are 0, so the fringes have no visibility: look where there is light.',
  );
}
