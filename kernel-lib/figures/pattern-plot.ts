import { requireNumbers, requireWithin } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { type AlongOptions, alongAxis } from './along';
import { drawable, type LineLayer, styleOf, thin } from './chart';
import { type Figure, figureOf } from './figure';
import { counted } from './shown';

/** One curve of a pattern: intensity at direction sines `s`. */
export interface PatternCurve {
  readonly s: ArrayLike<number>;
  readonly intensity: ArrayLike<number>;
  /** Told in the legend: `2 slits`, `mine`. */
  readonly name?: string;
}

export interface PatternOptions extends AlongOptions {
  readonly title?: string;
  /** Logarithmic intensity, which shows weak subsidiary spectra: four decades, or as many as said. */
  readonly log?: boolean | number;
}

/** The range of a logarithmic intensity axis, and the value drawn for exact zeros. */
export function logFloor(log: boolean | number | undefined, highest: number): number | undefined {
  if (!log) return undefined;
  const decades = log === true ? 4 : log;
  requireWithin('log', decades, [1, 30], 'give how many decades to show, or true for 4');
  return highest * 10 ** -decades;
}

/**
 * Intensity against direction, for one curve or several.
 *
 * @param curves s without unit, intensity relative to the centre
 * @param options `along` sine, degrees, milliradians or film (with `focalLength`, m); `log` for weak spectra
 * @returns a Figure
 * @throws RangeError when a curve has values that are not finite, or lists of two lengths
 * @example patternPlot({ s: [-0.01, 0, 0.01], intensity: [0.1, 1, 0.1] }).kind // 'pattern'
 */
export function patternPlot(
  curves: PatternCurve | readonly PatternCurve[],
  options: PatternOptions = {},
): Figure {
  const list = 'length' in curves ? curves : [curves];
  if (list.length === 0)
    throw new RangeError('patternPlot() was given no curve; give at least one.');
  const { axis, at } = alongAxis(options);
  const layers = list.map((curve, n): LineLayer => {
    const which = list.length > 1 ? `curve ${n + 1}: ` : '';
    requireNumbers(`${which}s`, curve.s, drawable, { least: 2 });
    const count = curve.s.length;
    requireNumbers(`${which}intensity`, curve.intensity, drawable, { count });
    const { x, y } = thin(curve.s, curve.intensity);
    return { type: 'line', x: x.map(at), y, style: styleOf(n), ...nameOf(curve, n, list.length) };
  });
  const highest = Math.max(...layers.map((layer) => layer.y.reduce((a, b) => Math.max(a, b))));
  const floor = logFloor(options.log, highest > 0 ? highest : 1);
  const y = {
    quantity: 'intensity I / I₀',
    unit: 'ratio',
    ...(floor === undefined ? {} : { log: true, range: [floor, highest * 1.6] as const }),
  };
  return figureOf({
    kind: 'pattern',
    alt: sentence(layers, axis.quantity, axis.unit, floor),
    title: options.title,
    x: axis,
    panels: [{ height: 230, y, layers }],
  });
}

function nameOf(curve: PatternCurve, n: number, of: number): { name?: string } {
  if (curve.name !== undefined) return { name: curve.name };
  return of > 1 ? { name: `curve ${n + 1}` } : {};
}

function sentence(
  layers: readonly LineLayer[],
  quantity: string,
  unit: string,
  floor?: number,
): string {
  const ends = [
    Math.min(...layers.map(({ x }) => Math.min(x[0], x[x.length - 1]))),
    Math.max(...layers.map(({ x }) => Math.max(x[0], x[x.length - 1]))),
  ];
  const each = layers.map(({ x, y, name }) => {
    const highest = y.reduce((best, v, i) => (v > y[best] ? i : best), 0);
    const peaks = y.filter(
      (v, i) => i > 0 && v > y[i - 1] && v >= y[i + 1] && v > (floor ?? 1e-4),
    ).length;
    return `${name ? `${name}: ` : ''}highest ${formatNumber(y[highest], 3)} at ${formatNumber(x[highest], 3)}, ${counted(peaks, 'peak')}`;
  });
  const scale = floor === undefined ? '' : ' (logarithmic)';
  return `Intensity${scale} against ${quantity} from ${formatNumber(ends[0])} to ${formatNumber(ends[1])}${unit.startsWith('10') ? ` × ${unit}` : ` ${unit}`}; ${each.join('; ')}.`;
}
