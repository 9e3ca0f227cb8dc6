import { requireNumbers } from '../../numerics/require';
import type { Profile } from '../profile';
import { type FittedSlits, fitSlits } from './fit-slits';
import type { SlitFitOptions } from './slit-options';

/** What another curve of the camera would have made of a result. */
export interface CurveCost {
  /** The signal raised to this power was fitted. */
  readonly exponent: number;
  /** Width with it over width as fitted, less 1. */
  readonly width: number;
  /** The same of the spacing; NaN for one slit. */
  readonly spacing: number;
  readonly reducedChiSquare: number;
}

/**
 * What a wrong curve of the camera costs: the same profile with its signal bent to y^p, fitted anew with the same count
 * of slits. An exponent of 0.8 or 1.25 is what phones commonly are from the standard's curve (common practice, no source).
 *
 * @param profile signal as a share of full scale, dark signal and all, as `pictureProfile` gives it
 * @param fit what `fitSlits` found in it
 * @param options those of `fitSlits`
 * @param exponents p to be tried, default 0.8 and 1.25
 * @returns for each p the relative change of width and spacing
 * @throws RangeError for exponents that are not positive numbers
 * @example
 * const geometry = { wavelength: nm(650), focalLength: 2 };
 * const profile = slitProfile(seeded(1), { count: 2, width: um(80), spacing: um(250), amplitude: 0.9, shotNoise: 0, ...geometry });
 * curveCost(profile, fitSlits(profile, geometry), geometry).length // 2
 */
export function curveCost(
  profile: Profile,
  fit: FittedSlits,
  options: SlitFitOptions,
  exponents: readonly number[] = [0.8, 1.25],
): CurveCost[] {
  requireNumbers('exponents', exponents, 'give exponents such as 0.8 and 1.25', { least: 1 });
  return exponents.map((exponent) => {
    if (!(exponent > 0)) {
      throw new RangeError(
        `An exponent is ${exponent}: give numbers above 0, such as 0.8 and 1.25.`,
      );
    }
    const light = profile.y.map((value) => Math.max(value, 1e-6));
    const bent: Profile = {
      ...profile,
      y: light.map((value) => value ** exponent),
      ...(profile.u
        ? { u: profile.u.map((u, i) => u * exponent * light[i] ** (exponent - 1)) }
        : {}),
    };
    const other = fitSlits(bent, { ...options, count: fit.count });
    const change = (name: 'width' | 'spacing') => other[name].value / fit[name].value - 1;
    return {
      exponent,
      width: change('width'),
      spacing: fit.count > 1 ? change('spacing') : Number.NaN,
      reducedChiSquare: other.reducedChiSquare,
    };
  });
}
