import { asBundle, isShowable, type Showable } from '../display/bundle';
import { emit } from '../display/port';

/**
 * Show a figure, now, below the cell.
 *
 * The front end gets one bundle: the plotly figure, HTML that needs neither scripts nor a network,
 * a static picture, and the text alternative. A figure that is a cell's last value shows itself.
 *
 * @param figure what a function such as `patternPlot` returns
 * @throws TypeError when given anything that cannot show itself
 * @example show(patternPlot({ s, intensity })) // the plot appears below the cell
 */
export function show(figure: Showable): void {
  if (!isShowable(figure)) {
    const given = figure === null ? 'null' : Array.isArray(figure) ? 'an array' : typeof figure;
    throw new TypeError(
      `show() was given ${given}. It shows a figure: pass what patternPlot(…), filmStripPicture(…) or another figure function returns.`,
    );
  }
  emit(() => figure[asBundle]());
}
