import { requireFinite, requirePositive, requireWhole } from '../../numerics/require';
import { checkPoints } from '../fit-data';
import type { FitResult, Fitted } from '../fit-result';
import { checkProfile, type Profile } from '../profile';
import { bicOf, bicOfConstant, isCredible } from './count-criterion';
import { fitCount, type SlitProblem } from './fit-slit-count';
import { type SlitGeometry, type SlitParameter, slitParameters } from './slit-model';
import { findHints, type Hints } from './slit-start';
import { thinned, withoutSaturated } from './thin-profile';

/** Settings of `fitSlits`. */
export interface SlitFitOptions {
  /** λ, m, in the air that the light crosses. */
  readonly wavelength: number;
  /** f, m: focal length of the camera lens, or distance to a far screen. Left out: x is the direction sine itself. */
  readonly focalLength?: number;
  /** How many slits, when that is known; left out: found. */
  readonly count?: number;
  /** Largest count that is tried, default 8. */
  readonly maxCount?: number;
  /** Parameters that are known, in SI units, such as { visibility: 1 }. */
  readonly fixed?: Partial<Record<SlitParameter, number>>;
  /** First guesses where the automatic ones fail, SI units. */
  readonly start?: Partial<Record<SlitParameter, number>>;
}

/** How well one count of slits explains the profile. */
export interface CountTried {
  readonly count: number;
  readonly chiSquare: number;
  /** n ln(χ²/n) + k ln n: the count with the smallest is taken. */
  readonly bic: number;
  /** False when the fringes would be fainter than a tenth, or stronger than full: then they follow the noise. */
  readonly credible: boolean;
}

/** Slits found from a profile. `parameters` and `covariance` follow `names`. */
export interface FittedSlits extends FitResult {
  readonly count: number;
  readonly names: readonly SlitParameter[];
  /** m. */
  readonly width: Fitted;
  /** m, centre to centre; value NaN for one slit. */
  readonly spacing: Fitted;
  /** Unit of y: the middle's height above the background at full visibility. */
  readonly amplitude: Fitted;
  /** Unit of y. */
  readonly background: Fitted;
  /** Of neighbouring slits; 1 for one slit. Noise may carry it a little above 1. */
  readonly visibility: Fitted;
  /** Position of the pattern's middle, m. */
  readonly centre: Fitted;
  /** How many points were used: all but the saturated ones. Residuals belong to these. */
  readonly used: number;
  /** Every count that was tried. */
  readonly tried: readonly CountTried[];
}

/**
 * Width, spacing and count of equal slits from a measured monochromatic pattern.
 *
 * The start is found from the profile itself: spacings from the peaks of its spectrum (the aperture's autocorrelation),
 * the middle from its autoconvolution, widths by trying. Every count is fitted; the one with the smallest Bayesian
 * information criterion BIC = n ln(χ²/n) + k ln n is taken, n points, k parameters, among those whose fringes are
 * between a tenth and full visibility. With few points or much noise counts that differ by one may not be told apart:
 * `tried` shows how close they come.
 *
 * Model: see `SlitModel`. Saturated points are left out. With `u` in the profile the covariance is absolute, without
 * it is scaled by the reduced χ².
 *
 * @param profile positions in m (direction sines without focalLength), signal linear in irradiance
 * @param options wavelength and focal length, m; count or fixed parameters when known
 * @returns values with standard uncertainties in SI units, covariance, residuals, and all counts tried
 * @throws RangeError when the profile is constant, all saturated, drowned in noise, or too short
 * @see Schwarz, Ann. Statist. 6, 461 (1978), for the criterion (from memory)
 * @example
 * const geometry = { wavelength: nm(546.1), focalLength: 0.5 };
 * const profile = slitProfile(seeded(1), { count: 3, width: um(40), spacing: um(100), ...geometry });
 * formatQuantity(fitSlits(profile, geometry).spacing.value, 'um', 3) // '100 µm'
 */
export function fitSlits(profile: Profile, options: SlitFitOptions): FittedSlits {
  const { geometry, counts, fixed } = checkOptions(options);
  const whole = checkProfile(profile);
  const kept = withoutSaturated(whole);
  const free = (count: number) =>
    slitParameters.slice(0, count === 1 ? 4 : 6).filter((name) => fixed[name] === undefined).length;
  const { weights, absolute } = checkPoints(kept, Math.max(free(counts[0]), 3));
  checkContrast(kept);

  let hints: Hints | undefined;
  const problem: SlitProblem = {
    profile: kept,
    weights,
    absolute,
    geometry,
    fixed,
    start: options.start ?? {},
    hints: () => (hints ??= findHints(thinned(whole), geometry)),
  };
  const fits = counts
    .filter((count) => kept.y.length > free(count))
    .map((count) => ({ count, fit: fitCount({ ...problem, fixed: held(fixed, count) }, count) }))
    .filter(({ fit }) => fit !== undefined)
    .map(({ count, fit }) => {
      const bic = bicOf(fit!, kept.y.length);
      return { count, fit: fit!, bic, credible: options.count !== undefined || isCredible(fit!) };
    });
  fits.sort((a, b) => a.bic - b.bic);
  const best = fits.find(({ credible }) => credible);
  if (!best || best.bic > bicOfConstant(kept.y, weights)) {
    throw new RangeError(
      `No pattern of slits stands out of the noise of this profile (${kept.y.length} points). Average over a wider band, or check wavelength and focalLength.`,
    );
  }
  const tried = fits
    .map(({ count, fit, bic, credible }) => ({ count, chiSquare: fit.chiSquare, bic, credible }))
    .sort((a, b) => a.count - b.count);
  return {
    ...named(best.fit, held(fixed, best.count)),
    count: best.count,
    used: kept.y.length,
    tried,
  };
}

/** One slit has neither spacing nor fringes, whatever is known about several. */
function held(fixed: SlitProblem['fixed'], count: number): SlitProblem['fixed'] {
  return count > 1 ? fixed : { ...fixed, spacing: undefined, visibility: undefined };
}

function named(fit: FitResult & { names: readonly SlitParameter[] }, fixed: SlitProblem['fixed']) {
  const value = (name: SlitParameter, absent: number): Fitted => {
    const at = fit.names.indexOf(name);
    return at >= 0 ? fit.parameters[at] : { value: fixed[name] ?? absent, u: 0 };
  };
  return {
    ...fit,
    width: value('width', Number.NaN),
    spacing: value('spacing', Number.NaN),
    amplitude: value('amplitude', Number.NaN),
    background: value('background', Number.NaN),
    visibility: value('visibility', 1),
    centre: value('centre', Number.NaN),
  };
}

function checkContrast({ y }: Profile): void {
  const low = y.reduce((a, b) => Math.min(a, b));
  const high = y.reduce((a, b) => Math.max(a, b));
  if (!(high - low > 1e-9 * Math.max(Math.abs(low), Math.abs(high)))) {
    throw new RangeError(
      `The profile is constant (${y[0]} at all ${y.length} points that count): there is no pattern to fit. Choose another band, or expose longer or shorter.`,
    );
  }
}

function checkOptions(options: SlitFitOptions) {
  const { wavelength, focalLength, count, maxCount = 8, fixed = {} } = options ?? {};
  requirePositive('The wavelength', wavelength, 'give it in metres, such as nm(546.1)');
  if (focalLength !== undefined) {
    requirePositive(
      'The focal length',
      focalLength,
      'give it in metres, or leave it out when x is the direction sine',
    );
  }
  if (count !== undefined) requireWhole('count', count, 1, 200);
  requireWhole('maxCount', maxCount, 1, 60);
  for (const [name, value] of Object.entries(fixed)) {
    if (!(slitParameters as readonly string[]).includes(name)) {
      throw new RangeError(
        `"${name}" cannot be fixed: the parameters are ${slitParameters.join(', ')}.`,
      );
    }
    if (value !== undefined) requireFinite(`fixed.${name}`, value);
  }
  const geometry: SlitGeometry = { wavelength, focalLength };
  const counts = count ? [count] : Array.from({ length: maxCount }, (_, k) => k + 1);
  return { geometry, counts, fixed };
}
