import { formatQuantity } from '../../quantity/known-unit';
import type { FitResult, Fitted } from '../fit-result';
import type { SlitFault } from './fit-slit-count';
import { scatterOf, unlikely } from './scatter';

/** What is looked at besides the fit itself. */
export interface RemarkContext {
  /** 1/u of each point. */
  readonly weights: Float64Array;
  readonly sloping: boolean;
  /** False where the points lie on the curve far better than their uncertainties, or to rounding: computed ones. */
  readonly noisy: boolean;
  /** The largest count that was tried fits best. */
  readonly endOfSearch: boolean;
  /** Other counts that the points do not rule out. */
  readonly alsoPossible: readonly number[];
}

interface Found extends FitResult {
  readonly count: number;
  readonly width: Fitted;
  readonly spacing: Fitted;
}

/**
 * What speaks against a fit of slits, in plain sentences.
 *
 * Drift: neighbouring residuals are like each other, by the correlation of each residual r (in units of u) with the next,
 *
 *   R = Σ r_i r_(i+1) / Σ r_i²,  which for independent noise has the mean 0 and the standard deviation 1/√n.
 *
 * Uncertainties too small, or a model that misses something: reduced χ² above 1 by more than 4 √(2/ν).
 *
 * @see both are common practice, no source
 */
export function remarksOn(
  found: Found,
  fault: SlitFault | undefined,
  context: RemarkContext,
): string[] {
  const remarks: string[] = [];
  if (!found.converged)
    remarks.push(`The fit has not converged, so its values mean little. ${found.message}`);
  if (fault) remarks.push(sayFault(fault, found));
  if (context.endOfSearch && found.count > 1) {
    remarks.push(
      `${found.count} slits fit best, and that is the largest count that was tried: there may be more. Try again with a larger maxCount.`,
    );
  }
  if (context.alsoPossible.length > 0) {
    remarks.push(
      `${sayOthers(context.alsoPossible)} nearly as well as ${found.count}: what would tell them apart is lost in blur and noise. Give the count if you know it; else take a sharper picture, or more light.`,
    );
  }
  const scatter = scatterOf(found.residuals, context.weights);
  const drifting = context.noisy && scatter.drifting;
  const { reducedChiSquare: chi, degreesOfFreedom: freedom } = found;
  const missed = found.absolute && chi - 1 > unlikely * Math.sqrt(2 / freedom);
  if (drifting) {
    const slope = context.sloping ? '' : " stray light that is not even (background: 'sloping'),";
    remarks.push(
      `The residuals drift: each is like the next (correlation ${scatter.correlation.toFixed(2)}, by chance within ±${(2 / Math.sqrt(found.residuals.length)).toFixed(2)}), so neighbours share their noise or the model misses something. The uncertainties were widened for it (${scatter.together.toFixed(0)} neighbours count as one); look for${slope} a wrong count, or a curve of the camera that was not undone.`,
    );
  }
  if (missed && !drifting) {
    remarks.push(
      `The points scatter more than their uncertainties say (reduced χ² ${chi.toFixed(2)}): the u of the profile are too small, or the model misses something. The uncertainties of the result were widened by √χ².`,
    );
  } else if (missed) {
    remarks.push(`Reduced χ² is ${chi.toFixed(2)}; 1 is expected where the model holds.`);
  }
  return remarks;
}

/** "1 slit fits", "2, 3 or 4 slits fit". */
export function sayOthers(counts: readonly number[]): string {
  const others = counts.join(' or ').replace(/ or (?=.* or )/g, ', ');
  return `${others} ${others === '1' ? 'slit fits' : 'slits fit'}`;
}

/** Why no slits can be as a fit has them. */
export function sayFault(
  fault: SlitFault,
  { count, width, spacing }: Pick<Found, 'count' | 'width' | 'spacing'>,
): string {
  if (fault === 'dark') {
    return `The best fit with count: ${count} has no light, or less than none, where the slits should be bright. Is the profile inverted, as a negative is? Else try another count, or give a start.`;
  }
  if (fault === 'lost') {
    return `The fit with count: ${count} ran away to values that are no numbers. Give a start near the truth, such as { width, spacing, centre }.`;
  }
  const [a, d] = [width, spacing].map(({ value }) => formatQuantity(value, 'um', 3));
  return `The ${count} slits touch or overlap: they come out ${a} wide, ${d} from centre to centre. Slits that touch act as one slit, ${count} times as wide: try count: 1.`;
}
