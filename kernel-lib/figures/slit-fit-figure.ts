import type { FittedSlits } from '../fitting/slits/fit-slits';
import { fittedCurve } from '../fitting/slits/slit-model';
import { fittedTo } from '../fitting/slits/slit-options';
import type { Figure } from './figure';
import { fitPlot } from './fit-plot';

/** Whether a value is what `fitSlits` returned, which knows the points that it was fitted to. */
export const isSlitFit = (value: unknown): value is FittedSlits =>
  typeof value === 'object' && value !== null && fittedTo in value;

/**
 * A fit of slits as a figure: its points, its curve and the residuals; the sentence that opens it says whether to trust
 * it, then come the lengths with their uncertainties and whatever speaks against them.
 */
export function slitFitFigure(fit: FittedSlits): Figure {
  const { profile, geometry } = (fit as Fitted)[fittedTo];
  const onScreen = geometry.focalLength !== undefined;
  return fitPlot(profile, fittedCurve(fit, geometry), {
    x: onScreen
      ? { quantity: 'place on the screen x', unit: 'mm' }
      : { quantity: 'direction sine s', unit: '1' },
    y: { quantity: 'light', unit: '1' },
    fit,
    says: [fit.sentence, ...fit.remarks].join(' '),
  });
}

type Fitted = Required<Pick<FittedSlits, typeof fittedTo>>;
