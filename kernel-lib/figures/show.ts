import { asBundle, isShowable, type MimeBundle, type Showable } from '../display/bundle';
import { emit } from '../display/display';
import type { FittedSlits } from '../fitting/slits/fit-slits';
import { isSlitFit, slitFitFigure } from './slit-fit-figure';

/** What `show` shows: whatever can show itself, and fits of slits. */
type Shown = Showable | FittedSlits;

/**
 * Show a figure, now, below the cell.
 *
 * The front end gets one bundle: the plotly figure, HTML that needs neither scripts nor a network,
 * a static picture, and the text alternative. A figure that is a cell's last value shows itself.
 *
 * @param figure what a function such as `patternPlot` returns, or `fitSlits`; or a function that makes it, which is
 *   called only when somebody looks: while a sheet is proved or marked nobody does
 * @throws TypeError when given anything that cannot show itself
 * @example show(patternPlot({ s: [-0.01, 0, 0.01], intensity: [0.1, 1, 0.1] })) // undefined: the plot appears below the cell
 * @example show(() => stripFigure(filmStrip(slits(1, { width: um(40) }), illuminant('A')))) // undefined: drawn only when somebody looks
 */
export function show(figure: Shown | (() => Shown)): void {
  if (typeof figure === 'function') emit(() => bundleFrom(figure(), 'a function that returns '));
  else if (isShowable(figure) || isSlitFit(figure)) emit(() => bundleFrom(figure, ''));
  else bundleFrom(figure, '');
}

function bundleFrom(figure: unknown, made: string): MimeBundle {
  if (isShowable(figure)) return figure[asBundle]();
  if (isSlitFit(figure)) return slitFitFigure(figure)[asBundle]();
  const given = figure === null ? 'null' : Array.isArray(figure) ? 'an array' : typeof figure;
  throw new TypeError(
    `show() was given ${made}${given}. It shows a figure: pass what patternPlot(…), filmStripPicture(…) or another figure function returns.`,
  );
}
