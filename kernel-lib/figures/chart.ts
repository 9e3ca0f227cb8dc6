/** One axis: what is drawn along it, in which unit. The numbers on it are in that unit. */
export interface Axis {
  readonly quantity: string;
  /** Such as `mm`; `ratio` for a quantity without a unit. */
  readonly unit: string;
  readonly range?: readonly [number, number];
  readonly log?: boolean;
  /** Ticks to use in place of round numbers. */
  readonly ticks?: readonly { readonly at: number; readonly label: string }[];
  /** Not drawn: the layers carry the scale themselves. */
  readonly hidden?: boolean;
}

type Numbers = readonly number[];

export interface LineLayer {
  readonly type: 'line';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly name?: string;
  readonly style: Style;
}

/** Points, with error bars of one standard uncertainty where `ux` or `uy` is given. */
export interface PointsLayer {
  readonly type: 'points';
  /** Dots, for many points. */
  readonly small?: boolean;
  readonly x: Numbers;
  readonly y: Numbers;
  readonly ux?: Numbers;
  readonly uy?: Numbers;
  readonly name?: string;
  readonly style: Style;
}

/** Upright lines from zero: spectral lines, scale lines. One colour each, or one for all. */
export interface SticksLayer {
  readonly type: 'sticks';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly name?: string;
  readonly colours: readonly string[];
}

/** Straight strokes `[x0, y0, x1, y1]`, with an arrow head at the end where `arrows` is set. */
export interface StrokesLayer {
  readonly type: 'strokes';
  readonly strokes: readonly (readonly [number, number, number, number])[];
  readonly arrows?: boolean;
  readonly name?: string;
  readonly style: Style;
}

/** The area under a curve, lightly coloured slice by slice. */
export interface AreaLayer {
  readonly type: 'area';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly colours: readonly string[];
}

/** A shaded stretch of the x axis over the panel's full height. */
interface ShadeLayer {
  readonly type: 'shade';
  readonly from: number;
  readonly to: number;
  readonly name?: string;
}

/** A picture stretched over a rectangle of the panel. */
interface ImageLayer {
  readonly type: 'image';
  /** A `data:` address. */
  readonly source: string;
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
}

export interface TextLayer {
  readonly type: 'text';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly colour?: string;
  readonly size?: number;
}

/** Nothing to see: what a live picture tells at the pointer. */
interface HoverLayer {
  readonly type: 'hover';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly text: readonly string[];
}

export type Layer =
  | LineLayer
  | PointsLayer
  | SticksLayer
  | StrokesLayer
  | AreaLayer
  | ShadeLayer
  | ImageLayer
  | TextLayer
  | HoverLayer;

export interface Panel {
  /** Height of the drawing area, in the units of the static picture, whose width is 520. */
  readonly height: number;
  readonly y: Axis;
  readonly layers: readonly Layer[];
  /** Black ground, as film is. */
  readonly film?: boolean;
}

/** What a figure shows: panels above each other on one x axis. The static and the live picture are both made from it. */
export interface Chart {
  readonly kind: string;
  /** One sentence with the figure's numbers. */
  readonly alt: string;
  readonly title?: string;
  readonly x: Axis;
  readonly panels: readonly Panel[];
  /** One unit is as long along x as along y: for polygons and colour diagrams. */
  readonly equalScales?: boolean;
  /** Narrower than this, px, it cannot be read: a phone shows it in a frame that scrolls. */
  readonly leastWidth?: number;
}

/** The text along an axis: quantity and unit. */
export function axisTitle(axis: Axis): string {
  return `${axis.quantity} (${axis.unit})`;
}

/** The look of all figures: paper white, ink, one ink blue; strips black as film is. */
export const look = {
  paper: '#fdfcf8',
  film: '#0b0b0c',
  ink: '#1d2430',
  soft: '#565e6a',
  rule: '#d8d3c5',
  blue: '#1f4b99',
  brown: '#8a4b08',
  onFilm: '#d8d3c5',
  /** The line beside film that got more light than it can show. */
  burnt: '#d9822b',
  font: "system-ui, 'Segoe UI', 'DejaVu Sans', sans-serif",
} as const;

export type Dash = 'solid' | 'dash' | 'dot' | 'dashdot' | 'longdash';
export type Shape = 'circle' | 'square' | 'triangle' | 'diamond' | 'cross';

/** How one line or set of points is drawn. */
export interface Style {
  readonly colour: string;
  readonly dash: Dash;
  readonly shape: Shape;
  readonly width: number;
}

// Dash and shape tell curves apart on a grey print; the colour comes second.
const dashes: readonly Dash[] = ['solid', 'dash', 'dot', 'dashdot', 'longdash'];
const shapes: readonly Shape[] = ['circle', 'square', 'triangle', 'diamond', 'cross'];
const colours: readonly string[] = [look.blue, look.brown, '#1e6b3c', look.ink, '#7b2d6b'];

/** The style of the n-th curve of a figure, from 0; after the fifth the list starts again. */
export function styleOf(n: number): Style {
  const k = n % dashes.length;
  return { colour: colours[k], dash: dashes[k], shape: shapes[k], width: 1.8 };
}

export type Range = readonly [number, number];

/** All x or y values that a layer needs room for. */
function valuesOf(layer: Layer, along: 'x' | 'y'): number[] {
  switch (layer.type) {
    case 'line':
      return [...layer[along]];
    case 'points': {
      const u = along === 'x' ? layer.ux : layer.uy;
      return layer[along].flatMap((v, i) => (u ? [v - u[i], v + u[i]] : [v]));
    }
    case 'sticks':
    case 'area':
      return along === 'x' ? [...layer.x] : [0, ...layer.y];
    case 'strokes':
      return layer.strokes.flatMap(([x0, y0, x1, y1]) => (along === 'x' ? [x0, x1] : [y0, y1]));
    case 'shade':
      return along === 'x' ? [layer.from, layer.to] : [];
    case 'image':
      return [...layer[along]];
    case 'hover':
      return [];
    case 'text':
      return [layer[along]];
  }
}

function extent(values: Iterable<number>, positiveOnly: boolean): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const v of values) {
    if (!Number.isFinite(v) || (positiveOnly && v <= 0)) continue;
    if (v < low) low = v;
    if (v > high) high = v;
  }
  if (low > high) return positiveOnly ? [0.1, 1] : [0, 1];
  if (low < high) return [low, high];
  const room = positiveOnly ? 0 : Math.abs(low) * 0.1 || 1;
  return positiveOnly ? [low / 2, high * 2] : [low - room, high + room];
}

/** The range of one axis: the given one, else that of the layers with a little room. */
function rangeOf(axis: Axis, layers: readonly Layer[], along: 'x' | 'y'): Range {
  if (axis.range) return axis.range;
  const values = layers.flatMap((layer) => valuesOf(layer, along));
  const [low, high] = extent(values, axis.log === true);
  if (axis.log) return [low / 1.3, high * 1.3];
  const tight = along === 'x' && !layers.some((m) => m.type === 'points' || m.type === 'sticks');
  if (tight) return [low, high];
  const room = (high - low) * 0.05;
  // A curve that nearly reaches zero is shown standing on it.
  const fromZero = along === 'y' && low >= 0 && low < 0.3 * high;
  return [fromZero ? 0 : low - room, high + room];
}

/** Ranges of the x axis and of each panel's y axis. Equal scales are met by widening the shorter one. */
export function rangesOf(chart: Chart, width: number): { x: Range; y: Range[] } {
  const layers = chart.panels.flatMap((panel) => panel.layers);
  const x = rangeOf(chart.x, layers, 'x');
  const y = chart.panels.map((panel: Panel) => rangeOf(panel.y, panel.layers, 'y'));
  if (!chart.equalScales) return { x, y };
  const perPixel = Math.max((x[1] - x[0]) / width, (y[0][1] - y[0][0]) / chart.panels[0].height);
  return {
    x: widened(x, perPixel * width),
    y: y.map((r, i) => widened(r, perPixel * chart.panels[i].height)),
  };
}

function widened([low, high]: Range, size: number): Range {
  const room = (size - (high - low)) / 2;
  return [low - room, high + room];
}

/** How to mend numbers that cannot be drawn. */
export const drawable =
  'give finite numbers, one for each position; look for a division by zero, or a missing value, where they are computed';

/** Plotly stays quick, and a notebook small, with at most this many points a trace. */
export const mostPoints = 2000;

/**
 * Thins a curve to at most `most` points for drawing. Of each stretch the lowest and the highest
 * point are kept, so that no narrow peak and no zero goes missing.
 */
export function thin(x: ArrayLike<number>, y: ArrayLike<number>, most = mostPoints) {
  if (x.length <= most) return { x: Array.from(x), y: Array.from(y) };
  const stretches = Math.floor(most / 2) - 1;
  const keep = [0];
  for (let k = 0; k < stretches; k++) {
    const start = 1 + Math.floor((k * (x.length - 2)) / stretches);
    const end = 1 + Math.floor(((k + 1) * (x.length - 2)) / stretches);
    let [low, high] = [start, start];
    for (let i = start + 1; i < end; i++) {
      if (y[i] < y[low]) low = i;
      if (y[i] > y[high]) high = i;
    }
    keep.push(Math.min(low, high));
    if (low !== high) keep.push(Math.max(low, high));
  }
  keep.push(x.length - 1);
  return { x: keep.map((i) => x[i]), y: keep.map((i) => y[i]) };
}
