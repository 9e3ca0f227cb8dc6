import { requireNumbers } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { drawable, type Layer, look, styleOf, thin } from './chart';
import { type Figure, figureOf } from './figure';
import { type PlotAxis, plotAxis, pointsLayer, type Readings, readingsOf } from './plot-axis';
import { counted } from './shown';

/** Points or a line to draw, SI values. */
export interface Series {
  readonly x: Readings;
  readonly y: Readings;
  /** Standard uncertainties of x and of y, one each or one for all; readings with uncertainties bring their own. */
  readonly ux?: ArrayLike<number> | number;
  readonly uy?: ArrayLike<number> | number;
  readonly name?: string;
  /** `points` unless told. */
  readonly as?: 'points' | 'line';
}

export interface LinePlotOptions {
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly title?: string;
}

/**
 * A plain plot of readings as points with error bars, of computed values as lines, or of both.
 *
 * @param series one or several, SI values
 * @param options quantity and unit of both axes
 * @returns a Figure
 * @throws TypeError when an axis lacks its quantity or unit; RangeError for values that are not finite
 * @example linePlot({ x: [0, 0.001], y: [0, 1] }, { x: { quantity: 'x', unit: 'mm' }, y: { quantity: 'y', unit: '1' } }).kind // 'plot'
 */
export function linePlot(series: Series | readonly Series[], options: LinePlotOptions): Figure {
  const list = Array.isArray(series) ? (series as readonly Series[]) : [series as Series];
  if (list.length === 0) throw new RangeError('linePlot() was given no series; give at least one.');
  const x = plotAxis('x', options?.x);
  const y = plotAxis('y', options.y);
  const told: string[] = [];
  const layers = list.map((one, n): Layer => {
    const which = list.length > 1 ? `series ${n + 1}: ` : '';
    const xs = readingsOf(`${which}x`, one.x, one.ux, x.at);
    const ys = readingsOf(`${which}y`, one.y, one.uy, y.at);
    requireNumbers(`${which}x`, xs.values, drawable, { least: 1 });
    requireNumbers(`${which}y`, ys.values, drawable, { count: xs.values.length });
    told.push(sentence(one, xs.values, ys.values));
    const more = { name: one.name, style: styleOf(n) };
    if (one.as === 'line') return { type: 'line', ...thin(xs.values, ys.values), ...more };
    const points = { x: xs.values, y: ys.values, ux: xs.u, uy: ys.u, name: one.name };
    return pointsLayer(points, styleOf(n));
  });
  return figureOf({
    kind: 'plot',
    alt: `${y.axis.quantity} (${y.axis.unit}) against ${x.axis.quantity} (${x.axis.unit}): ${told.join('; ')}.`,
    title: options.title,
    x: x.axis,
    panels: [{ height: 230, y: y.axis, layers: [...zeroLine(layers), ...layers] }],
  });
}

/** A thin line at zero where values lie on both sides of it. */
function zeroLine(layers: readonly Layer[]): Layer[] {
  const drawn = layers.flatMap((m) => (m.type === 'points' || m.type === 'line' ? [m] : []));
  const ys = drawn.flatMap((m) => m.y);
  if (!ys.some((v) => v < 0) || !ys.some((v) => v > 0)) return [];
  const xs = drawn.flatMap((m) => m.x);
  const ends = [xs.reduce((a, b) => Math.min(a, b)), xs.reduce((a, b) => Math.max(a, b))];
  const style = { ...styleOf(0), colour: look.soft, width: 0.7 };
  return [{ type: 'line', x: ends, y: [0, 0], style }];
}

function sentence({ name, as }: Series, x: readonly number[], y: readonly number[]): string {
  const span = (v: readonly number[]) =>
    `${formatNumber(v.reduce((a, b) => Math.min(a, b)))} to ${formatNumber(v.reduce((a, b) => Math.max(a, b)))}`;
  const what = as === 'line' ? 'line' : counted(x.length, 'point');
  return `${name ? `${name}, ` : ''}${what}, x from ${span(x)}, y from ${span(y)}`;
}
