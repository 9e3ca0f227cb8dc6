import { checkPoints } from '../fit-data';
import type { FitResult, Fitted } from '../fit-result';
import { checkProfile, type Profile, thinned, withoutSaturated } from '../profile';
import type { BlurShape } from './blur';
import { remarksOn, sayFault, sayOthers } from './fit-remarks';
import {
  type CountFit,
  fitCount,
  isCredible,
  lengthsShown,
  parametersOf,
  type SlitProblem,
} from './fit-slit-count';
import { bicOf, bicOfGround, isNoisy, scatterOfBest, unexplained, widened } from './scatter';
import { type CheckByHand, checkByHand } from './slit-check';
import type { SlitParameter } from './slit-model';
import {
  checkOptions,
  type FittedTo,
  fittedTo,
  lastCount,
  type SlitFitOptions,
} from './slit-options';
import { findHints, type Hints } from './slit-start';
import { printable, verdictOn } from './slit-verdict';

/** How well one count of slits explains the profile. */
export interface CountTried {
  readonly count: number;
  readonly chiSquare: number;
  /** n ln(χ²/n) + k ln n, of several slits 2 ln τ more for the τ such counts that were tried; the smallest is taken. */
  readonly bic: number;
  /**
   * False when the fringes would be fainter than a tenth, or stronger than full: then they follow the noise; and when
   * the slits would overlap.
   */
  readonly credible: boolean;
}

/** Slits found from a profile. `parameters` and `covariance` follow `names`. */
export interface FittedSlits extends FitResult {
  /** Whether the result may be taken as it is. */
  readonly trusted: boolean;
  /** "Trust it: …", or "Do not trust it, because …". */
  readonly sentence: string;
  readonly count: number;
  readonly names: readonly SlitParameter[];
  /** m. */
  readonly width: Fitted;
  /** m, centre to centre; value NaN for one slit. */
  readonly spacing: Fitted;
  /** Unit of y: the middle's height above the background, were the pattern sharp. */
  readonly amplitude: Fitted;
  /** Unit of y; on sloping ground that at the pattern's middle. */
  readonly background: Fitted;
  /** Unit of y per m (per direction sine without focalLength); 0 on level ground. */
  readonly slope: Fitted;
  /**
   * Full width at half height of the blur, m on the screen (direction sine without focalLength). Noise may carry that of
   * a sharp pattern a little below 0.
   */
  readonly blur: Fitted;
  /** The shape that fits better; undefined where there is no blur in the model. */
  readonly blurShape?: BlurShape;
  /** Of neighbouring slits, as it follows from the blur; 1 for one slit. Noise may carry it a little above 1. */
  readonly visibility: Fitted;
  /** Position of the pattern's middle, m. */
  readonly centre: Fitted;
  /** γ of the camera's curve against the one that was undone; 1 where it is known. */
  readonly exponent: Fitted;
  /** q of a beam that lights the slits: the outermost have exp(−2q) of the middle's light; 0 where all have the same. */
  readonly falloff: Fitted;
  /** The same length by a straight line through orders, where three bright or dark places or more stand out. */
  readonly byHand?: CheckByHand;
  /** How many points were used: all but the saturated ones. Residuals belong to these. */
  readonly used: number;
  /** Every count that was tried. */
  readonly tried: readonly CountTried[];
  /** What speaks against this result, each in a plain sentence; empty when nothing does. */
  readonly remarks: readonly string[];
  /** For `show`; neither listed nor compared. */
  readonly [fittedTo]?: FittedTo;
}

/**
 * A count whose BIC is larger by less than this, odds of 1 to 20 at least, is told as possible. Where the true count and
 * another lie a distance δ apart (δ² what χ² of the other is larger by without noise), noise makes the difference of
 * their χ² normal about δ² with standard deviation 2δ; that it falls below −6 has the probability Φ(−(δ² + 6)/2δ),
 * whatever δ at most Φ(−√6) = 0.7 %: but for one or two records in a hundred the true count is taken or told.
 */
const ruledOut = 6;

/** Counts that are tried before it is looked whether the best lies at their end. */
const firstCounts = 8;

/**
 * Width, spacing and count of equal slits from a measured monochromatic pattern.
 *
 * The start is found from the profile itself: spacings from the peaks of its spectrum (the aperture's autocorrelation),
 * the middle from its autoconvolution, widths by trying. Every count is fitted; the one with the smallest Bayesian
 * information criterion is taken, among those whose fringes are between a tenth and full visibility. With few points,
 * much noise or much blur counts that differ by one may not be told apart: `remarks` names those that the points do not
 * rule out, `tried` shows how close they come.
 *
 *   BIC = n ln(χ²/n) + k ln n (+ 2 ln τ for more than one slit)
 *
 * n points, k parameters, τ counts above one that were tried. BIC is −2 ln of a probability: one slit and several are
 * taken to be as likely as each other beforehand, and the several share theirs. Without that share, noise on one slit's
 * pattern has τ chances to look like several slits against one to look like what it is.
 *
 *   y = B + G (x − x₀) + A ⟨sinc²(π a s/λ) F(2π d s/λ)⟩,  s = sin arctan((x − x₀)/f)
 *
 * F: the fringes of N slits, 1 in the middle. ⟨ ⟩: averaged over a blur of width b, by which neighbouring slits keep the
 * visibility sinc(π b d/λf) (box: a source slit b f′/f wide in a collimator of focal length f′) or
 * exp(−(π b d/λf)²/(4 ln 2)) (Gaussian of full width b at half height). The blur takes the envelope along: a model that
 * only damps the fringes finds spacings that are several standard uncertainties too small. See `SlitModel`.
 *
 * Saturated points are left out. With `u` in the profile the covariance is absolute, without it is scaled by the
 * reduced χ². Where points scatter more than their u say, it grows by χ²; where neighbouring residuals go together, τ of
 * them as one (`tried` then counts n/τ points); and by the scale of a picture (`uScale`). The blur is fitted by its
 * square; its u is half of what it changes between one standard uncertainty of the square below and one above.
 * Whatever speaks against the result (residuals that drift, uncertainties that do not cover them, slits that touch, a
 * search that ended at its last count) stands in `remarks`. `sentence` says whether to trust it, after a check that
 * shares nothing with the fit: a straight line through the orders of bright fringes (one slit: of minima). Printed,
 * the result opens with it.
 *
 * @param profile positions in m (direction sines without focalLength), signal linear in irradiance
 * @param options wavelength and focal length, m; count or fixed parameters when known
 * @returns values with standard uncertainties in SI units, covariance, residuals, and all counts tried
 * @throws RangeError when the profile is constant, all saturated, drowned in noise, too short, or of no slits
 * @see Schwarz, Ann. Statist. 6, 461 (1978), for the criterion; Chen and Chen, Biometrika 95, 759 (2008), for the prior
 * that is shared among models with as many parameters (both from memory)
 * @example
 * const geometry = { wavelength: nm(546.1), focalLength: 0.5 };
 * const profile = slitProfile(seeded(1), { count: 3, width: um(40), spacing: um(100), ...geometry });
 * formatQuantity(fitSlits(profile, geometry).spacing.value, 'um', 3) // '100 µm'
 */
export function fitSlits(profile: Profile, options: SlitFitOptions): FittedSlits {
  const { geometry, fixed, shapes, sloping, bent, light } = checkOptions(options);
  const whole = checkProfile(profile);
  const kept = withoutSaturated(whole);
  const free = (count: number, beam = light === 'beam') =>
    parametersOf(count, { shapes, sloping, bent, beam }).filter((name) => fixed[name] === undefined)
      .length;
  const { weights, absolute } = checkPoints(kept, Math.max(free(options.count ?? 1), 3));
  checkContrast(kept);

  let hints: Hints | undefined;
  const problem: SlitProblem = {
    profile: kept,
    weights,
    absolute,
    geometry,
    shapes,
    sloping,
    bent,
    beam: light === 'beam',
    fixed,
    start: options.start ?? {},
    searching: options.count === undefined,
    hints: () => (hints ??= findHints(thinned(whole), geometry)),
  };
  const tryCount = (count: number, lit: Partial<SlitProblem> = {}): Tried[] => {
    if (kept.y.length <= free(count, lit.beam)) return [];
    const fit = fitCount({ ...problem, ...lit, fixed: held(fixed, count) }, count);
    if (!fit) return [];
    const known = options.count !== undefined;
    const possible = known ? fit.fault === undefined || fit.fault === 'touching' : !fit.fault;
    const credible = possible && (known || isCredible(fit));
    return [{ count, fit, bic: bicOf(fit, kept.y.length), credible }];
  };
  const fewest = free(options.count ?? 1);
  if (kept.y.length <= fewest) {
    throw new RangeError(
      `${kept.y.length} points leave nothing over beside ${fewest} parameters: any curve goes through them. Take more points, or fix a parameter.`,
    );
  }
  const points = { weights, absolute };
  // A count that is given has no others to be weighed against.
  const known = options.count !== undefined;
  const weigh = (all: readonly Tried[]) => {
    const byAll = known ? all : weighed(all, kept.y.length, 1);
    const { together } = scatterOfBest(bestOf(byAll)?.fit, kept, points);
    const tried = known ? all : weighed(all, kept.y.length, together);
    const best = bestOf(tried);
    return { tried, best, scatter: scatterOfBest(best?.fit, kept, points) };
  };
  const even = weigh(tryCounts(options, tryCount));
  // Where even light explains the points there is nothing that a beam could explain better.
  const togetherIn = (fit: CountFit) => scatterOfBest(fit, kept, points).together;
  const orBeam = () => weigh(orByBeam(even.tried, tryCount, togetherIn));
  const { tried, best, scatter } =
    light === undefined && even.scatter.drifting && !(known && isCountWrong(even.best, tryCount))
      ? orBeam()
      : even;
  const ofGround = bicOfGround(kept, weights, sloping, known ? 1 : scatter.together);
  const [only] = tried;
  if (!best && only?.fit.fault && only.bic < ofGround) {
    throw new RangeError(sayFault(only.fit.fault, named(only, fixed)));
  }
  if (!best || best.bic > ofGround) {
    throw new RangeError(
      `No pattern of slits stands out of the noise of this profile (${kept.y.length} points). Average over a wider band, or check wavelength and focalLength.`,
    );
  }
  const result = widened(named(best, fixed), scatter, whole.uScale);
  const last = options.count === undefined && best.count === tried.at(-1)?.count;
  const endOfSearch = last && best.count > 1;
  const alsoPossible = tried
    .filter((one) => one !== best && one.credible && one.bic - best.bic < ruledOut)
    .map(({ count }) => count);
  const remarks = remarksOn(result, best.fit.fault, {
    ...{ weights, sloping, endOfSearch, alsoPossible },
    noisy: isNoisy(kept, weights, absolute, best.fit),
  });
  const byHand = checkByHand(whole, geometry, result);
  const described = {
    ...result,
    ...(byHand ? { byHand } : {}),
    used: kept.y.length,
    tried: tried.map(({ count, fit, bic, credible }) => ({
      count,
      chiSquare: fit.chiSquare,
      bic,
      credible,
    })),
    remarks,
  };
  const { trusted, sentence } = verdictOn(described, {
    against: [
      ...(best.fit.fault ? [whyFault[best.fit.fault]] : []),
      ...(endOfSearch ? ['more slits than were tried might fit better'] : []),
      ...(alsoPossible.length > 0
        ? [`${sayOthers(alsoPossible)} nearly as well as ${best.count}`]
        : []),
    ],
    unexplained: unexplained(kept, best.fit.residuals),
    saturated: 1 - kept.y.length / whole.y.length,
    atLimit: lengthsAtLimit(result, lengthsShown(kept.x, geometry)),
  });
  return printable({ trusted, sentence, ...described }, { profile: whole, geometry });
}

const whyFault = {
  touching: 'the slits touch or overlap, which makes them one',
  dark: 'the slits came out dark',
  lost: 'the fit ran away to values that are no numbers',
};

/** Of slits lit alike, one or two fewer than was said explain the points better: it is the count, and no beam, that is off. */
function isCountWrong(
  said: Tried | undefined,
  tryCount: (count: number) => readonly Tried[],
): boolean {
  if (!said || said.count < 3) return false;
  const fewer = [said.count - 1, said.count - 2].flatMap((count) => tryCount(count));
  return fewer.some(({ fit, bic }) => isCredible(fit) && bic < said.bic);
}

/**
 * Three slits and more lit by a beam where that explains the points better than even light does, beyond its parameter:
 * by as many points as are independent in its own residuals, for those of a light that is not there go together by it.
 */
function orByBeam(
  tried: readonly Tried[],
  tryCount: (count: number, lit: Partial<SlitProblem>) => readonly Tried[],
  togetherIn: (fit: CountFit) => number,
): Tried[] {
  let best: Tried | undefined;
  return tried.map((even) => {
    // Beyond the first counts the search ends, as that with even light does, where two more slits explain less.
    const isOver = even.count > firstCounts && (best?.count ?? 0) < even.count - 2;
    if (even.count < 3 || isOver) return even;
    const { names, parameters } = even.fit;
    const start = Object.fromEntries(names.map((name, j) => [name, parameters[j].value]));
    const [beam] = tryCount(even.count, { beam: true, start });
    if (!beam?.credible) return even;
    const together = togetherIn(beam.fit);
    const [byBeam, byEven] = [beam, even].map(({ fit }) =>
      bicOf(fit, fit.residuals.length, together),
    );
    if (!best || beam.fit.chiSquare < best.fit.chiSquare) best = beam;
    return byBeam < byEven || !even.credible ? beam : even;
  });
}

/**
 * The counts that were tried, each with its BIC by as many points as are independent, told by `together` residuals that
 * say as much as one; several slits share their probability.
 */
function weighed(tried: readonly Tried[], points: number, together: number): Tried[] {
  const several = tried.filter(({ count }) => count > 1).length;
  return tried.map((one) => {
    const shared = one.count > 1 ? 2 * Math.log(several) : 0;
    return { ...one, bic: bicOf(one.fit, points, together) + shared };
  });
}

type Named = ReturnType<typeof named>;

function lengthsAtLimit(result: Named, [low, high]: readonly [number, number]): string[] {
  const lengths = (['width', 'spacing'] as const).filter((name) => result.names.includes(name));
  const at = (value: number) => value < 1.01 * low || value > 0.99 * high;
  return lengths.filter((name) => at(result[name].value));
}

interface Tried {
  readonly count: number;
  readonly fit: CountFit;
  readonly bic: number;
  readonly credible: boolean;
}

const bestOf = (tried: readonly Tried[]): Tried | undefined =>
  tried
    .filter(({ credible }) => credible)
    .reduce<Tried | undefined>((a, b) => (a && a.bic <= b.bic ? a : b), undefined);

/** One count, those up to `maxCount`, or as many as it takes until two more slits explain less. */
function tryCounts(
  { count, maxCount }: SlitFitOptions,
  tryCount: (count: number) => readonly Tried[],
): Tried[] {
  if (count !== undefined) return [...tryCount(count)];
  const tried: Tried[] = [];
  // Among several slits the shared prior changes nothing, so the end of the search may be told without it.
  const turned = (next: number) => next > firstCounts && (bestOf(tried)?.count ?? 0) < next - 2;
  for (let next = 1; next <= (maxCount ?? lastCount); next++) {
    if (maxCount === undefined && turned(next)) break;
    tried.push(...tryCount(next));
  }
  return tried;
}

/** One slit has neither spacing nor fringes, whatever is known about several. */
function held(fixed: SlitProblem['fixed'], count: number): SlitProblem['fixed'] {
  return count > 1 ? fixed : { ...fixed, spacing: undefined, visibility: undefined };
}

function named({ count, fit }: Tried, known: SlitProblem['fixed']) {
  const fixed = held(known, count);
  const { shape, fault: _, ...rest } = fit;
  const value = (name: SlitParameter, absent: number): Fitted => {
    const at = fit.names.indexOf(name);
    return at >= 0 ? fit.parameters[at] : { value: fixed[name] ?? absent, u: 0 };
  };
  return {
    ...rest,
    count,
    width: value('width', Number.NaN),
    spacing: value('spacing', Number.NaN),
    amplitude: value('amplitude', Number.NaN),
    background: value('background', Number.NaN),
    slope: value('slope', 0),
    blur: value('blur', 0),
    ...(shape ? { blurShape: shape } : {}),
    centre: value('centre', Number.NaN),
    exponent: value('exponent', 1),
    falloff: value('falloff', 0),
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
