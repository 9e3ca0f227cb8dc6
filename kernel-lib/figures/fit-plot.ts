import { requireNumbers } from '../numerics/require';
import { siUnit } from '../quantity/dimension';
import { formatNumber } from '../quantity/format-number';
import { formatQuantity, knownUnit } from '../quantity/known-unit';
import { printMeasured } from '../quantity/print-measured';
import { drawable, type LineLayer, look, type Panel, styleOf } from './chart';
import { type Figure, figureOf } from './figure';
import { type PlotAxis, plotAxis, pointsLayer, type Readings, readingsOf } from './plot-axis';

/** The points that were fitted, SI values; `u` is the standard uncertainty of each y, or one for all. */
export interface FittedData {
  readonly x: Readings;
  readonly y: Readings;
  readonly u?: ArrayLike<number> | number;
  /** 1 where the detector was at its limit: drawn apart, without residual. */
  readonly saturated?: ArrayLike<number>;
}

/** What a fit says of itself; every fit of the library has it. */
export interface FitSummary {
  readonly parameters: readonly { readonly value: number; readonly u: number }[];
  readonly reducedChiSquare: number;
  readonly converged: boolean;
  /** Why it ended. */
  readonly message?: string;
  /** What `fitSlits` calls its parameters. */
  readonly names?: readonly string[];
  /** A straight line has one. */
  readonly slope?: { readonly value: number };
}

/** What a parameter of a fit is called, and the unit that it is told in; its value is SI. */
export interface ParameterName {
  readonly name: string;
  /** As that of an axis: `um`, `1`, or a word such as `counts`. */
  readonly unit: string;
}

export interface FitPlotOptions {
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly title?: string;
  /** The fit's result, for the sentence below the figure, which also says aloud when the fit has not converged. */
  readonly fit?: FitSummary;
  /** What is told below the figure before its own sentence. */
  readonly says?: string;
  /** Names and units of its parameters, in their order; fits of slits and of straight lines bring their own. */
  readonly parameters?: readonly ParameterName[];
}

const curveSteps = 1000;

/**
 * Data, fitted curve, and below them the residuals y − f(x), in units of u where it is known.
 *
 * @param data the points, SI values
 * @param curve f(x), the fitted model with its parameters put in, SI values
 * @param options quantity and unit of both axes; the fit's result, with names and units of its parameters
 * @returns a Figure
 * @throws RangeError, TypeError for values that are not finite, lists of two lengths, an axis without unit
 * @example fitPlot({ x: [0, 1], y: [0, 2] }, (x) => 2 * x, { x: { quantity: 'x', unit: 'm' }, y: { quantity: 'y', unit: '1' } }).kind // 'fit'
 */
export function fitPlot(
  data: FittedData,
  curve: (x: number) => number,
  options: FitPlotOptions,
): Figure {
  const x = plotAxis('x', options?.x);
  const y = plotAxis('y', options.y);
  const raw = readingsOf('x', data?.x, undefined, (v) => v).values;
  requireNumbers('x', raw, drawable, { least: 2 });
  const measured = readingsOf('y', data.y, data.u, (v) => v);
  requireNumbers('y', measured.values, drawable, { count: raw.length });
  const low = raw.reduce((a, b) => Math.min(a, b));
  const high = raw.reduce((a, b) => Math.max(a, b));
  const fine = Array.from(
    { length: curveSteps + 1 },
    (_, i) => low + ((high - low) * i) / curveSteps,
  );
  const fitted = fine.map((v) => y.at(curve(v)));
  requireNumbers('the fitted curve', fitted, drawable);
  const { saturated } = data;
  if (saturated) requireNumbers('saturated', saturated, drawable, { count: raw.length });
  const used = raw.map((_, i) => i).filter((i) => !saturated?.[i]);
  const u = measured.u?.every((one) => one > 0) ? measured.u : undefined;
  const pointsAt = (of: readonly number[], name: string) => ({
    x: of.map((i) => x.at(raw[i])),
    y: of.map((i) => y.at(measured.values[i])),
    uy: u && of.map((i) => y.at(u[i])),
    name,
  });
  const rests = used.map((i) => {
    const rest = measured.values[i] - curve(raw[i]);
    return u ? rest / u[i] : y.at(rest);
  });
  const lost = raw.map((_, i) => i).filter((i) => saturated?.[i]);
  const dots = pointsLayer(pointsAt(used, 'data'), styleOf(0));
  const crosses = lost.length
    ? [pointsLayer(pointsAt(lost, 'saturated, not fitted'), { ...styleOf(4), colour: look.ink })]
    : [];
  const failed = options.fit?.converged === false;
  const line: LineLayer = {
    type: 'line',
    ...{ x: fine.map(x.at), y: fitted, name: failed ? 'not converged' : 'fit' },
    style: { ...styleOf(1), dash: failed ? 'dot' : 'solid' },
  };
  const most = rests.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
  const unit = u ? 'u' : y.axis.unit;
  return figureOf({
    kind: 'fit',
    alt: [
      options.says,
      sentence(options, x.axis.quantity, used.length, `${formatNumber(most, 3)} ${unit}`),
    ]
      .filter(Boolean)
      .join(' '),
    title: failed ? notConverged : options.title,
    x: x.axis,
    panels: [
      { height: 210, y: y.axis, layers: [dots, ...crosses, line] },
      restPanel(
        used.map((i) => x.at(raw[i])),
        rests,
        { most, unit: u ? undefined : y.axis.unit },
        [x.at(low), x.at(high)],
      ),
    ],
  });
}

/** The residuals around a dashed zero line; `unit` is left out where they are counted in u. */
function restPanel(
  x: readonly number[],
  y: readonly number[],
  { most, unit }: { most: number; unit?: string },
  ends: readonly number[],
): Panel {
  const inU = unit === undefined;
  const reach = 1.15 * (most + (inU ? 1 : 0)) || 1;
  const zero: LineLayer = {
    type: 'line',
    ...{ x: ends, y: [0, 0] },
    style: { ...styleOf(3), dash: 'dash', width: 1 },
  };
  const axis = inU ? { quantity: 'residual / u', unit: 'ratio' } : { quantity: 'residual', unit };
  const points = pointsLayer({ x, y, ...(inU ? { uy: y.map(() => 1) } : {}) }, styleOf(0));
  return { height: 84, y: { ...axis, range: [-reach, reach] }, layers: [zero, points] };
}

const notConverged = 'This fit has not converged';

function sentence(
  options: FitPlotOptions,
  against: string,
  count: number,
  largest: string,
): string {
  const { y, fit } = options;
  const what = `Fit of ${y.quantity} against ${against} to ${count} points, largest residual ${largest}`;
  if (!fit) return `${what}.`;
  const numbers = `${parametersSaid(fit, options)}, reduced χ² ${formatNumber(fit.reducedChiSquare, 3)}`;
  if (fit.converged) return `${what}; ${numbers}.`;
  const why = fit.message ? ` ${fit.message}` : '';
  return `${notConverged}: do not use its numbers.${why} ${what}; it stopped at ${numbers}.`;
}

/** `spacing 93.21(5) µm, width 34.1(3) µm`; without names the plain numbers. */
function parametersSaid(fit: FitSummary, options: FitPlotOptions): string {
  const names = options.parameters ?? namesOf(fit, options);
  const { parameters } = fit;
  if (names?.length !== parameters.length) {
    const told = parameters.map((p) => `${formatNumber(p.value, 5)} ± ${formatNumber(p.u, 2)}`);
    return `parameters ${told.join(', ')} in SI units`;
  }
  return parameters.map((one, i) => `${names[i].name} ${inUnit(one, names[i].unit)}`).join(', ');
}

function inUnit({ value, u }: { value: number; u: number }, unit: string): string {
  const known = knownUnit(unit) !== undefined;
  const behind = known || unit === '' ? '' : ` ${unit}`;
  if (!Number.isFinite(u))
    return `${known ? formatQuantity(value, unit, 4) : formatNumber(value, 4) + behind} (not determined)`;
  return printMeasured({ value, u }, known ? { unit } : {}) + behind;
}

/** In which units `fitSlits` has its lengths told. */
const lengths: Readonly<Record<string, string>> = {
  width: 'um',
  spacing: 'um',
  centre: 'mm',
  blur: 'um',
};

function namesOf(fit: FitSummary, { x, y }: FitPlotOptions): readonly ParameterName[] | undefined {
  if (fit.names) {
    // Against direction sines nothing but the slits themselves is a length.
    const onFilm = knownUnit(x.unit)?.dimension.length === 1;
    const unitOf = (name: string) => {
      if (name === 'amplitude' || name === 'background') return y.unit;
      return name === 'width' || name === 'spacing' || onFilm ? (lengths[name] ?? '') : '';
    };
    return fit.names.map((name) => ({ name, unit: unitOf(name) }));
  }
  if (fit.slope === undefined || fit.parameters.length !== 2) return undefined;
  const siOf = (unit: string) => {
    const known = knownUnit(unit);
    return known ? siUnit(known.dimension) : unit;
  };
  const both = `${y.unit}/${x.unit}`;
  return [
    { name: 'intercept', unit: y.unit },
    { name: 'slope', unit: knownUnit(both) ? both : `${siOf(y.unit)}/${siOf(x.unit)}` },
  ];
}
