import type { Bound } from '../derivatives';
import type { FitResult } from '../fit-result';
import type { LeastSquares } from '../least-squares';
import { descend } from '../levenberg-marquardt';
import type { Profile } from '../profile';
import { solve } from '../solve';
import { type SlitGeometry, SlitModel, type SlitParameter, slitParameters } from './slit-model';
import { guessSlits, type Hints } from './slit-start';
import { everyFew, thinned } from './thin-profile';

/** A profile ready to be fitted with any count of slits. */
export interface SlitProblem {
  readonly profile: Profile;
  readonly weights: Float64Array;
  readonly absolute: boolean;
  readonly geometry: SlitGeometry;
  readonly fixed: Partial<Record<SlitParameter, number>>;
  readonly start: Partial<Record<SlitParameter, number>>;
  readonly hints: () => Hints;
}

/** What is left to go is then far below a thousandth of the uncertainty: more than any use needs. */
const precisely = { maxIterations: 200, tolerance: 3e-4 };
const roughly = { maxIterations: 10, tolerance: 0.01 };

const limits: Partial<Record<SlitParameter, Bound>> = {
  width: [0, Infinity],
  spacing: [0, Infinity],
  visibility: [0, 1.5],
};

/**
 * Fit a given count of slits from the best of the automatic starts.
 *
 * @returns undefined when no start leads to slits that are narrower than their spacing
 */
export function fitCount(
  problem: SlitProblem,
  count: number,
): (FitResult & { names: readonly SlitParameter[] }) | undefined {
  const { profile, weights, absolute, geometry, fixed } = problem;
  const model = new SlitModel(profile.x, count, geometry);
  const all = slitParameters.slice(0, model.parameterCount);
  const names = all.filter((name) => fixed[name] === undefined);
  const template = all.map((name) => fixed[name] ?? 0);
  const indices = names.map((name) => all.indexOf(name));

  const given = names.map((name) => problem.start[name] ?? Number.NaN);
  const start = given.every(Number.isFinite) ? given : search(problem, count, template, names);
  if (!start) return undefined;
  const full = leastSquares(profile, weights, model, template, indices);
  const fit = solve(full, start, { weights, absolute }, precisely);
  const values = fit.parameters.map(({ value }) => value);
  return sensible(values, names, fixed) ? { ...fit, names } : undefined;
}

/** The best automatic start: many guesses at few points, then a short fit of the best of them. */
function search(
  problem: SlitProblem,
  count: number,
  template: readonly number[],
  names: readonly SlitParameter[],
): number[] | undefined {
  const { profile, geometry, fixed } = problem;
  const indices = names.map((name) => slitParameters.indexOf(name));
  const quick = thinned(profile);
  const known = { ...problem.start, ...fixed };
  const few = everyFew(quick, 160);
  const hints = withKnown(problem.hints(), known);
  const guesses = guessSlits(few, weightsOf(few), count, geometry, hints, 4);
  const rough = leastSquares(
    quick,
    weightsOf(quick),
    new SlitModel(quick.x, count, geometry),
    template,
    indices,
  );
  const [best] = guesses
    .map(({ parameters }) => {
      const start = indices.map((j, k) => problem.start[names[k]] ?? parameters[j]);
      return descend(rough, start, { start: 1e-3, scaling: 'largest', curved: false }, roughly);
    })
    .filter(({ parameters }) => sensible(parameters, names, fixed))
    .sort((a, b) => a.chiSquare - b.chiSquare);
  return best?.parameters;
}

const weightsOf = ({ x, u }: Profile) => (u ? u.map((one) => 1 / one) : x.map(() => 1));

/** What the caller knows takes the place of the candidates. */
function withKnown(hints: Hints, known: SlitProblem['start']): Hints {
  const { centre, spacing, width } = known;
  return {
    centres: centre === undefined ? hints.centres : [centre],
    spacings: spacing === undefined ? hints.spacings : [spacing],
    widths: hints.widths,
    width,
  };
}

function leastSquares(
  { y }: Profile,
  weights: Float64Array,
  model: SlitModel,
  template: readonly number[],
  indices: readonly number[],
): LeastSquares {
  const slots = template.map((_, j) => indices.indexOf(j));
  const full = (free: readonly number[]) =>
    template.map((held, j) => (slots[j] < 0 ? held : free[slots[j]]));
  return {
    observed: y.map((value, i) => value * weights[i]),
    model: (free, out) => model.evaluate(full(free), weights, out),
    both: (free, values, columns) => {
      const all = slots.map((k): Float64Array | undefined => columns[k]);
      model.evaluate(full(free), weights, values, all);
    },
    bounds: indices.map((j) => limits[slitParameters[j]]),
  };
}

/** Slits that overlap, or light that is negative, are no slits. */
function sensible(
  values: readonly number[],
  names: readonly SlitParameter[],
  fixed: SlitProblem['fixed'],
): boolean {
  const of = (name: SlitParameter) => {
    const at = names.indexOf(name);
    return at >= 0 ? values[at] : fixed[name];
  };
  const width = of('width') ?? 0;
  const spacing = of('spacing') ?? Infinity;
  return (
    values.every(Number.isFinite) && width > 0 && width < spacing && (of('amplitude') ?? 1) > 0
  );
}
