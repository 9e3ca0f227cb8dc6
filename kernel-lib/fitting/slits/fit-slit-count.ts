import type { Bound } from '../derivatives';
import type { FitResult, Fitted } from '../fit-result';
import { type Descent, descend, type LeastSquares } from '../levenberg-marquardt';
import { everyFew, type Profile, thinned } from '../profile';
import { solve } from '../solve';
import { type BlurShape, fringesLeft, squareFor } from './blur';
import { type SlitGeometry, SlitModel, type SlitParameter, slitParameters } from './slit-model';
import { bestGuesses, type Hints } from './slit-start';

/** A profile ready to be fitted with any count of slits. */
export interface SlitProblem {
  readonly profile: Profile;
  readonly weights: Float64Array;
  readonly absolute: boolean;
  readonly geometry: SlitGeometry;
  /** Shapes of blur that are tried; none: the pattern is sharp, and its contrast a parameter. */
  readonly shapes: readonly BlurShape[];
  readonly sloping: boolean;
  /** The exponent of the camera's curve is found. */
  readonly bent: boolean;
  /** The slits are lit by a beam, whose falloff is found. */
  readonly beam: boolean;
  readonly fixed: Partial<Record<SlitParameter, number>>;
  readonly start: Partial<Record<SlitParameter, number>>;
  readonly hints: () => Hints;
  /** The count is searched for: one that ends at slits that cannot be is given up. */
  readonly searching: boolean;
}

/** A fit with one count of slits. */
export interface CountFit extends FitResult {
  readonly names: readonly SlitParameter[];
  /** Of neighbouring slits: what the blur leaves, or the parameter itself. */
  readonly visibility: Fitted;
  readonly shape?: BlurShape;
  /** Why no slits can be like this. */
  readonly fault?: SlitFault;
}

/** `touching`: as wide as their spacing or wider; `dark`: without light, or with less than none; `lost`: not a number. */
export type SlitFault = 'touching' | 'dark' | 'lost';

/** What is left to go is then far below a thousandth of the uncertainty: more than any use needs. */
const precisely = { maxIterations: 200, tolerance: 3e-4 };
/** A count that is one of many is not worth every way of reaching its minimum. */
const searched = { maxIterations: 100, ways: 3 };
const roughly = { maxIterations: 10, tolerance: 0.01 };

/** The middle is looked for so many fringes from where it seemed to be. */
const mostSteps = 4;

/** A shape of blur whose χ² is larger by this much is not looked at again: its weight is below one in a hundred. */
const ruledOut = 10;

/** Slits that are nearer to each other than this, width over spacing, act as one slit: no pattern tells them apart. */
const touch = 0.97;

/** Exponents of a camera's curve, against the one that was undone. */
const exponents: Bound = [0.5, 2];

/**
 * Falloffs of a beam: below 0 as far as noise may carry it, and no more than leaves the outermost slits a twentieth of the
 * middle's light, for what is darker shows in no pattern.
 */
const falloffs: Bound = [-0.25, 1.5];

/** Where the search for the falloff sets out: the outermost slits have two thirds of the middle's light. */
const usualFalloff = 0.2;

/** Where the search for the blur sets out: fringes that keep nine tenths. */
const usual = 0.9;

/** What a fit with `count` slits finds or holds, in the order of `slitParameters`. */
export function parametersOf(
  count: number,
  { shapes, sloping, bent, beam }: Pick<SlitProblem, 'shapes' | 'sloping' | 'bent' | 'beam'>,
): SlitParameter[] {
  const blurred = shapes.length > 0;
  const absent: SlitParameter[] = [blurred ? 'visibility' : 'blur'];
  if (count === 1) absent.push('spacing', 'visibility');
  if (!sloping) absent.push('slope');
  if (!bent) absent.push('exponent');
  // Two slits on both sides of a beam's middle are lit alike.
  if (!beam || count < 3) absent.push('falloff');
  return slitParameters.filter((name) => !absent.includes(name));
}

/**
 * Fit a given count of slits from the best of the automatic starts, with each shape of blur that is to be tried. The one
 * that leaves least is kept; where another does hardly worse, its difference is in the uncertainties.
 *
 * @returns undefined when there is no start at all
 */
export function fitCount(problem: SlitProblem, count: number): CountFit | undefined {
  const names = parametersOf(count, problem).filter((name) => problem.fixed[name] === undefined);
  const [first, ...others] = (problem.shapes.length > 0 ? problem.shapes : ['box' as const]).map(
    (shape) => new Shaped(problem, count, shape, names),
  );
  const given = first.given();
  const isGiven = given.every(Number.isFinite);
  const best = isGiven ? { parameters: given } : search(problem, count, first);
  if (!best) return undefined;
  const start = best.parameters;
  if (others.length === 0) return first.described(first.fit(start));
  const quick = thinned(problem.profile);
  const runs = [first, ...others].map((shaped) => ({ shaped, run: shaped.approach(quick, start) }));
  runs.sort((a, b) => a.run.chiSquare - b.run.chiSquare);
  const noise = problem.absolute ? 1 : runs[0].run.chiSquare / quick.x.length;
  const possible = runs.filter(
    ({ run }) => run.chiSquare - runs[0].run.chiSquare < ruledOut * noise,
  );
  const fits = possible.map(({ shaped, run }) => shaped.described(shaped.fit(run.parameters)));
  fits.sort((a, b) => a.chiSquare - b.chiSquare);
  return fits.length === 1 ? fits[0] : withDoubt(fits[0], fits[1], problem.absolute);
}

/**
 * Where the points do not tell two shapes of blur apart, the better fit with the difference to the other in its
 * uncertainties: of two models with the weights 1 − w and w, w = 1/(1 + exp(Δχ²/2)), the covariance about the values of
 * the first is (1 − w) C₁ + w (C₂ + δ δᵀ) with δ the difference; C₂ is nearly C₁.
 */
function withDoubt(best: CountFit, other: CountFit, absolute: boolean): CountFit {
  const noise = absolute ? 1 : best.reducedChiSquare;
  const weight = 1 / (1 + Math.exp((other.chiSquare - best.chiSquare) / (2 * noise)));
  const apart = best.parameters.map(({ value }, j) => other.parameters[j].value - value);
  if (!apart.every(Number.isFinite) || !best.converged || !other.converged) return best;
  const covariance = best.covariance.map((row, i) =>
    row.map((entry, j) => entry + weight * apart[i] * apart[j]),
  );
  const more = ({ value, u }: Fitted, by: number): Fitted => ({
    value,
    u: Math.sqrt(u * u + weight * by * by),
  });
  return {
    ...best,
    covariance,
    parameters: best.parameters.map((one, j) => more(one, apart[j])),
    visibility: more(best.visibility, other.visibility.value - best.visibility.value),
  };
}

/** The problem for one count and one shape of blur. In its parameters the blur is a square. */
class Shaped {
  private readonly template: readonly number[];
  readonly indices: readonly number[];

  constructor(
    private readonly problem: SlitProblem,
    private readonly count: number,
    private readonly shape: BlurShape,
    private readonly names: readonly SlitParameter[],
  ) {
    const { fixed } = problem;
    this.template = slitParameters.map((name) => {
      if (name === 'visibility' || name === 'exponent') return fixed[name] ?? 1;
      if (name === 'blur') return signedSquare(fixed.blur ?? 0);
      return fixed[name] ?? 0;
    });
    this.indices = names.map((name) => slitParameters.indexOf(name));
  }

  /** The caller's first guesses; NaN where there is none. */
  given(): number[] {
    const { start, fixed } = this.problem;
    return this.names.map((name) => {
      if (name === 'slope') return start.slope ?? 0;
      if (name === 'exponent') return start.exponent ?? 1;
      if (name === 'falloff') return start.falloff ?? usualFalloff;
      if (name !== 'blur') return start[name] ?? Number.NaN;
      if (start.blur !== undefined) return signedSquare(start.blur);
      const width = start.width ?? fixed.width ?? Number.NaN;
      const distance = this.count > 1 ? (start.spacing ?? fixed.spacing) : 2 * width;
      if (distance === undefined || Number.isNaN(distance)) return Number.NaN;
      return this.squareLeaving(this.count > 1 ? (start.visibility ?? usual) : usual, distance);
    });
  }

  /** Square of the blur that leaves this visibility of fringes from slits so far apart. */
  squareLeaving(visibility: number, distance: number): number {
    const { wavelength, focalLength = 1 } = this.problem.geometry;
    const kept = Math.min(Math.max(visibility, 0.05), 1);
    return squareFor(this.shape, kept) * ((wavelength * focalLength) / distance) ** 2;
  }

  leastSquares(profile: Profile, weights: Float64Array, start: readonly number[]): LeastSquares {
    const { template, indices } = this;
    const model = new SlitModel(profile.x, this.count, this.problem.geometry, this.shape);
    const slots = template.map((_, j) => indices.indexOf(j));
    const full = (free: readonly number[]) =>
      template.map((held, j) => (slots[j] < 0 ? held : free[slots[j]]));
    return {
      observed: profile.y.map((value, i) => value * weights[i]),
      model: (free, out) => model.evaluate(full(free), weights, out),
      both: (free, values, columns) => {
        const all = slots.map((k): Float64Array | undefined => columns[k]);
        model.evaluate(full(free), weights, values, all);
      },
      bounds: indices.map((j) => this.limit(slitParameters[j], profile, start)),
    };
  }

  private limit(name: SlitParameter, { x }: Profile, start: readonly number[]): Bound | undefined {
    if (name === 'width' || name === 'spacing') return lengthsShown(x, this.problem.geometry);
    if (name === 'visibility') return [0, 1.5];
    if (name === 'exponent') return exponents;
    if (name === 'falloff') return falloffs;
    if (name !== 'blur') return undefined;
    // Sharper than a contrast of one and a half is no noise; a blur as wide as half the record leaves nothing to see.
    const distance = this.of('spacing', start) || 2 * (this.of('width', start) ?? 0);
    const widest = ((x[x.length - 1] - x[0]) / 2) ** 2;
    return [-Math.min(this.squareLeaving(0.5, distance), widest), widest];
  }

  /** A parameter among those that are free, or as it is held. */
  private of(name: SlitParameter, values: readonly number[]): number | undefined {
    const at = this.names.indexOf(name);
    return at >= 0 ? values[at] : this.problem.fixed[name];
  }

  /** A few steps on a profile that was made shorter. */
  approach(quick: Profile, start: readonly number[]) {
    const problem = this.leastSquares(quick, weightsOf(quick), start);
    return descend(problem, start, { start: 1e-3, scaling: 'largest', curved: false }, roughly);
  }

  /**
   * Where the brightest fringes are full, the one in the middle may be taken for its neighbour, and no descent climbs over
   * the dark between them: step from fringe to fringe as long as that makes χ² smaller.
   */
  middleFringe(quick: Profile, first: Descent): Descent {
    const { wavelength, focalLength = 1 } = this.problem.geometry;
    const at = this.names.indexOf('centre');
    if (at < 0 || this.count === 1) return first;
    let best = first;
    for (let step = 0; step < mostSteps; step++) {
      const fringe = (wavelength * focalLength) / (this.of('spacing', best.parameters) ?? 0);
      const beside = [-fringe, fringe].map((by) => {
        const start = best.parameters.map((value, j) => (j === at ? value + by : value));
        return this.approach(quick, start);
      });
      const [next] = beside
        .filter(({ chiSquare, parameters }) => {
          return chiSquare < best.chiSquare && !this.fault(parameters);
        })
        .sort((a, b) => a.chiSquare - b.chiSquare);
      if (!next) break;
      best = next;
    }
    return best;
  }

  fit(start: readonly number[]): FitResult {
    const { profile, weights, absolute, searching } = this.problem;
    const hopeless = (values: readonly number[]) => searching && this.fault(values) !== undefined;
    const problem = this.leastSquares(profile, weights, start);
    const stopping = searching ? { ...precisely, ...searched } : precisely;
    return solve(problem, start, { weights, absolute }, { ...stopping, hopeless });
  }

  /** Why no slits can be like this. */
  fault(values: readonly number[]): SlitFault | undefined {
    const of = (name: SlitParameter) => this.of(name, values);
    const width = of('width') ?? 0;
    if (!values.every(Number.isFinite)) return 'lost';
    if (!(width > 0) || !((of('amplitude') ?? 1) > 0)) return 'dark';
    const touching = this.count > 1 && !(width < touch * (of('spacing') ?? Infinity));
    return touching ? 'touching' : undefined;
  }

  /** The result with the blur as a width, and the visibility that follows from it. */
  described(fit: FitResult): CountFit {
    const { names } = this;
    const blurred = this.problem.shapes.length > 0;
    const shape = blurred ? { shape: this.shape } : {};
    const fault = this.fault(fit.parameters.map(({ value }) => value));
    const described = { ...fit, names, visibility: this.visibility(fit), ...shape, fault };
    const at = names.indexOf('blur');
    if (at < 0 || !Number.isFinite(fit.parameters[at].u)) return described;
    const { value, u } = fit.parameters[at];
    // Half of what the width changes when its square goes from one standard uncertainty below to one above: at a blur
    // that is clearly seen the derivative, and no infinity at 0.
    const rate = (signedRoot(value + u) - signedRoot(value - u)) / (2 * u);
    const parameters = fit.parameters.map((one, j) =>
      j === at ? { value: signedRoot(value), u: rate * u } : one,
    );
    const factor = (j: number) => (j === at ? rate : 1);
    const covariance = fit.covariance.map((row, i) =>
      row.map((entry, j) => entry * factor(i) * factor(j)),
    );
    return { ...described, parameters, covariance };
  }

  private visibility({ parameters, covariance }: FitResult): Fitted {
    const { names, count, template } = this;
    const at = names.indexOf('visibility');
    if (at >= 0) return parameters[at];
    if (count === 1) return { value: 1, u: 0 };
    const { wavelength, focalLength = 1 } = this.problem.geometry;
    const [ofBlur, ofSpacing] = [names.indexOf('blur'), names.indexOf('spacing')];
    const pick = (index: number, held: number) => (index < 0 ? held : parameters[index].value);
    const square = pick(ofBlur, template[6]);
    const spacing = pick(ofSpacing, template[4]);
    const perSquare = (spacing / (wavelength * focalLength)) ** 2;
    const { value, slope } = fringesLeft(this.shape, square * perSquare);
    const rates = [
      [ofBlur, slope * perSquare],
      [ofSpacing, (2 * slope * square * perSquare) / spacing],
    ].filter(([index]) => index >= 0);
    let variance = 0;
    for (const [i, a] of rates) for (const [j, b] of rates) variance += a * b * covariance[i][j];
    return { value: template[5] * value, u: Math.sqrt(variance) };
  }
}

/**
 * The lengths, of slits or from slit to slit, that a record can show: one whose pattern would be a fiftieth of a change
 * over all its span, and one whose fringes come as fast as its points.
 */
export function lengthsShown(
  x: Float64Array,
  { wavelength, focalLength = 1 }: SlitGeometry,
): Bound {
  const span = x[x.length - 1] - x[0];
  const perLength = (wavelength * focalLength) / span;
  return [0.02 * perLength, perLength * (x.length - 1)];
}

const signedSquare = (value: number) => value * Math.abs(value);
const signedRoot = (square: number) => Math.sign(square) * Math.sqrt(Math.abs(square));

/** The best automatic start: many guesses at few points, then a short fit of the best of them. */
function search(problem: SlitProblem, count: number, shaped: Shaped) {
  const { profile, geometry, fixed } = problem;
  const quick = thinned(profile);
  const known = { ...problem.start, ...fixed };
  const few = everyFew(quick, 160);
  const hints = withKnown(problem.hints(), known);
  const given = shaped.given();
  const runs = bestGuesses(few, weightsOf(few), count, geometry, hints, 6).map((guess) => {
    const [width, amplitude, background, centre, spacing = 0, visibility = usual] =
      guess.parameters;
    const blur = shaped.squareLeaving(visibility, count > 1 ? spacing : 2 * width);
    const guessed = [
      width,
      amplitude,
      background,
      centre,
      spacing,
      visibility,
      blur,
      0,
      1,
      usualFalloff,
    ];
    const start = shaped.indices.map((j, k) => (Number.isNaN(given[k]) ? guessed[j] : given[k]));
    return shaped.approach(quick, start);
  });
  runs.sort((a, b) => a.chiSquare - b.chiSquare);
  const best = runs.find(({ parameters }) => !shaped.fault(parameters)) ?? runs[0];
  return best && shaped.middleFringe(quick, best);
}

const weightsOf = ({ x, u }: Profile) => (u ? u.map((one) => 1 / one) : x.map(() => 1));

/** What the caller knows takes the place of the candidates. */
function withKnown(hints: Hints, known: SlitProblem['start']): Hints {
  const { centre, spacing, width } = known;
  return {
    centres: centre === undefined ? hints.centres : [centre],
    spacings: spacing === undefined ? hints.spacings : [spacing],
    unresolved: hints.unresolved,
    widths: hints.widths,
    width,
  };
}

/**
 * Several slits show themselves by fringes: of a tenth at least, and of no more than all, within their uncertainty. A beam
 * is brightest in its middle, and leaves the outermost of them some light.
 */
export function isCredible({
  visibility,
  names,
  parameters,
}: Pick<CountFit, 'visibility' | 'names' | 'parameters'>): boolean {
  const { value, u } = visibility;
  if (!(value >= 0.1 && value <= Math.max(1.1, 1 + 3 * u))) return false;
  const at = names.indexOf('falloff');
  if (at < 0) return true;
  const falloff = parameters[at];
  return falloff.value > -2 * falloff.u && falloff.value < 0.99 * falloffs[1];
}
