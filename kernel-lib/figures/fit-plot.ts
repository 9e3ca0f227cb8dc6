import { formatNumber } from '../quantity/format-number';
import type { LineMark, PointsMark } from './chart';
import { checkEnough, checkNumbers } from './check-numbers';
import { type Figure, figureOf } from './figure';
import { styleOf } from './look';
import { type PlotAxis, plotAxis, type Readings, readingsOf } from './plot-axis';
import { thin } from './thin';

/** The points that were fitted, SI values; `u` is the standard uncertainty of each y, or one for all. */
export interface FittedData {
  readonly x: Readings;
  readonly y: Readings;
  readonly u?: ArrayLike<number> | number;
}

/** What a fit says of itself; every fit of the library has it. */
export interface FitSummary {
  readonly parameters: readonly { readonly value: number; readonly u: number }[];
  readonly reducedChiSquare: number;
  readonly converged: boolean;
}

export interface FitPlotOptions {
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly title?: string;
  /** The fit's result, for the text alternative. */
  readonly fit?: FitSummary;
}

const curveSteps = 1000;

/**
 * Data, fitted curve, and below them the residuals y − f(x), in units of u where it is known.
 *
 * @param data the points, SI values
 * @param curve f(x), the fitted model with its parameters put in, SI values
 * @param options quantity and unit of both axes; the fit's result
 * @returns a Figure
 * @throws RangeError, TypeError for values that are not finite, lists of two lengths, an axis without unit
 */
export function fitPlot(
  data: FittedData,
  curve: (x: number) => number,
  options: FitPlotOptions,
): Figure {
  const x = plotAxis('x', options?.x);
  const y = plotAxis('y', options.y);
  const raw = readingsOf('x', data?.x, undefined, (v) => v).values;
  checkEnough('x', raw, 2);
  const measured = readingsOf('y', data.y, data.u, (v) => v);
  checkNumbers('y', measured.values, raw.length);
  const low = raw.reduce((a, b) => Math.min(a, b));
  const high = raw.reduce((a, b) => Math.max(a, b));
  const fine = Array.from(
    { length: curveSteps + 1 },
    (_, i) => low + ((high - low) * i) / curveSteps,
  );
  const fitted = fine.map((v) => y.at(curve(v)));
  checkNumbers('the fitted curve', fitted);
  const rests = measured.values.map((v, i) => v - curve(raw[i]));
  const known = measured.u?.every((u) => u > 0) ? measured.u : undefined;
  const shownRests = known ? rests.map((r, i) => r / known[i]) : rests.map(y.at);

  const dots = pointsOf(raw.map(x.at), measured.values.map(y.at), known?.map(y.at), 'data');
  const line: LineMark = {
    type: 'line',
    ...{ x: fine.map(x.at), y: fitted, name: 'fit' },
    style: { ...styleOf(1), dash: 'solid' },
  };
  const zero: LineMark = {
    type: 'line',
    x: [x.at(low), x.at(high)],
    y: [0, 0],
    style: { ...styleOf(3), dash: 'dash', width: 1 },
  };
  const most = shownRests.reduce((a, b) => Math.max(a, Math.abs(b)), 0) || 1;
  const reach = 1.15 * (most + (known ? 1 : 0));
  const restAxis = known
    ? { quantity: 'residual / u', unit: 'ratio' }
    : { quantity: 'residual', unit: y.axis.unit };
  return figureOf({
    kind: 'fit',
    alt: sentence(options, x.axis.quantity, raw.length, most, known !== undefined, y.axis.unit),
    title: options.title,
    x: x.axis,
    panels: [
      { height: 210, y: y.axis, marks: [dots, line] },
      {
        height: 84,
        y: { ...restAxis, range: [-reach, reach] },
        marks: [
          zero,
          pointsOf(
            dots.x,
            shownRests,
            known?.map(() => 1),
          ),
        ],
      },
    ],
  });
}

/** Many points are drawn small and thinned, without bars that would only make a grey wall. */
function pointsOf(
  x: readonly number[],
  y: readonly number[],
  uy?: readonly number[],
  name?: string,
): PointsMark | LineMark {
  const style = styleOf(0);
  if (x.length <= 150) return { type: 'points', x, y, uy, name, style };
  return { type: 'line', ...thin(x, y), name, style: { ...style, width: 1 } };
}

function sentence(
  { y, fit }: FitPlotOptions,
  against: string,
  count: number,
  most: number,
  inU: boolean,
  unit: string,
): string {
  const largest = inU ? `${formatNumber(most, 3)} u` : `${formatNumber(most, 3)} ${unit}`;
  const found = fit
    ? `; parameters ${fit.parameters.map((p) => `${formatNumber(p.value, 5)} ± ${formatNumber(p.u, 2)}`).join(', ')} in SI units, reduced χ² ${formatNumber(fit.reducedChiSquare, 3)}${fit.converged ? '' : ', not converged'}`
    : '';
  return `Fit of ${y.quantity} against ${against} to ${count} points, largest residual ${largest}${found}.`;
}
