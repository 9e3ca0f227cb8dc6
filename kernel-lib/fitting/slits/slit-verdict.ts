import { formatNumber } from '../../quantity/format-number';
import { formatQuantity } from '../../quantity/known-unit';
import { printMeasured } from '../../quantity/print-measured';
import type { FitResult, Fitted } from '../fit-result';
import type { CheckByHand } from './slit-check';
import { type FittedTo, fittedTo } from './slit-options';

/** What a verdict is given on. */
interface Judged extends FitResult {
  readonly count: number;
  readonly width: Fitted;
  readonly spacing: Fitted;
  readonly visibility: Fitted;
  readonly byHand?: CheckByHand;
}

/** What else speaks for or against it. */
export interface VerdictContext {
  /** What makes the result worthless, or open: each a clause that follows "because". */
  readonly against: readonly string[];
  /** Share of the pattern's variation that the curve leaves. */
  readonly unexplained: number;
  /** Share of the points that were left out as saturated. */
  readonly saturated: number;
  /** Lengths that ended at the limit of what the record can show. */
  readonly atLimit: readonly string[];
}

/** A curve that leaves more of the variation than this is not that of the pattern. */
const mostUnexplained = 0.06;

/** Lengths known worse than to this share are no measurement. */
const mostUncertain = 0.1;

/** More saturated points than this leave too little of a pattern. */
const mostSaturated = 0.5;

/** One sentence that opens the result: trust it, or why not. */
export function verdictOn(
  found: Judged,
  context: VerdictContext,
): { trusted: boolean; sentence: string } {
  const reasons = [...context.against];
  if (!found.converged) reasons.push('the fit has not converged');
  for (const name of context.atLimit) {
    reasons.push(`the ${name} ended at the limit of what this record can show`);
  }
  if (context.unexplained > mostUnexplained) {
    reasons.push(
      `the curve leaves ${(100 * context.unexplained).toFixed(0)} % of the variation: it is not this pattern, or the camera's curve is another`,
    );
  }
  const lengths = found.count > 1 ? (['width', 'spacing'] as const) : (['width'] as const);
  for (const name of lengths) {
    const { value, u } = found[name];
    if (u > mostUncertain * value) {
      reasons.push(`the ${name} is known only to ${(100 * (u / value)).toFixed(0)} %`);
    }
  }
  if (context.saturated > mostSaturated) {
    reasons.push(
      `${(100 * context.saturated).toFixed(0)} % of the points are saturated: expose shorter`,
    );
  }
  const { byHand } = found;
  if (byHand && !byHand.agrees) {
    reasons.push(
      `${byHand.of === 'width' ? 'the dark places' : 'the bright fringes'} by themselves give a ${byHand.of} of ${inMicrometres(byHand.length)}, the fit ${inMicrometres(found[byHand.of])}`,
    );
  }
  if (reasons.length > 0) {
    return { trusted: false, sentence: `Do not trust it, because ${reasons.join('; and ')}.` };
  }
  const checked = byHand
    ? `, and a line through ${byHand.orders.length} ${byHand.of === 'width' ? 'minima' : 'fringes'} gives the same ${byHand.of}`
    : '';
  return {
    trusted: true,
    sentence: `Trust it: the points follow the pattern of ${found.count === 1 ? 'one slit' : `${found.count} slits`}${checked}.`,
  };
}

/** What is printed of it is `printSlits`, not its insides. Nothing that lists or compares its members sees what is added. */
export function printable<Fit extends Parameters<typeof printSlits>[0]>(
  fit: Fit,
  to: FittedTo,
): Fit {
  const print = { value: () => printSlits(fit) };
  const inspected = Symbol.for('nodejs.util.inspect.custom');
  const hidden = { [fittedTo]: { value: to }, toString: print, [inspected]: print };
  return Object.defineProperties(fit, hidden);
}

/** What is printed of a fit: the sentence, then values with their uncertainty, then how good the fit is. */
function printSlits(
  found: Judged & {
    readonly sentence: string;
    readonly blur: Fitted;
    readonly falloff: Fitted;
    readonly used: number;
    readonly remarks: readonly string[];
  },
): string {
  const { byHand } = found;
  const lines = [
    found.sentence,
    `  slits: ${found.count}`,
    `  width: ${inMicrometres(found.width)}`,
    ...(found.count > 1
      ? [
          `  spacing: ${inMicrometres(found.spacing)}`,
          `  visibility of the fringes: ${printMeasured(found.visibility)}`,
        ]
      : []),
    ...(found.falloff.value !== 0
      ? [`  the outermost slits have ${outermost(found.falloff)} of the middle’s light: a beam`]
      : []),
    ...(byHand ? [`  ${byHand.of} by a line through orders: ${inMicrometres(byHand.length)}`] : []),
    `  reduced χ²: ${formatNumber(found.reducedChiSquare, 3)} (${found.used} points, ${found.parameters.length} parameters); ${found.converged ? 'converged' : 'not converged'}`,
    ...found.remarks.map((remark) => `  ! ${remark}`),
  ];
  return lines.join('\n');
}

/** exp(−2q) in percent, with its uncertainty. */
function outermost({ value, u }: Fitted): string {
  const share = 100 * Math.exp(-2 * value);
  return `${printMeasured({ value: share, u: 2 * u * share })} %`;
}

const inMicrometres = (length: Fitted): string =>
  Number.isFinite(length.u) && Number.isFinite(length.value)
    ? printMeasured(length, { unit: 'um' })
    : formatQuantity(length.value, 'um', 3);
