import type { Axis, Chart, Mark, Panel } from './chart';

export type Range = readonly [number, number];

/** All x or y values that a mark needs room for. */
function valuesOf(mark: Mark, along: 'x' | 'y'): number[] {
  switch (mark.type) {
    case 'line':
      return [...mark[along]];
    case 'points': {
      const u = along === 'x' ? mark.ux : mark.uy;
      return mark[along].flatMap((v, i) => (u ? [v - u[i], v + u[i]] : [v]));
    }
    case 'sticks':
    case 'area':
      return along === 'x' ? [...mark.x] : [0, ...mark.y];
    case 'strokes':
      return mark.strokes.flatMap(([x0, y0, x1, y1]) => (along === 'x' ? [x0, x1] : [y0, y1]));
    case 'shade':
      return along === 'x' ? [mark.from, mark.to] : [];
    case 'image':
      return [...mark[along]];
    case 'hover':
      return [];
    case 'text':
      return [mark[along]];
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

/** The range of one axis: the given one, else that of the marks with a little room. */
function rangeOf(axis: Axis, marks: readonly Mark[], along: 'x' | 'y'): Range {
  if (axis.range) return axis.range;
  const values = marks.flatMap((mark) => valuesOf(mark, along));
  const [low, high] = extent(values, axis.log === true);
  if (axis.log) return [low / 1.3, high * 1.3];
  const tight = along === 'x' && !marks.some((m) => m.type === 'points' || m.type === 'sticks');
  if (tight) return [low, high];
  const room = (high - low) * 0.05;
  // A curve that nearly reaches zero is shown standing on it.
  const fromZero = along === 'y' && low >= 0 && low < 0.3 * high;
  return [fromZero ? 0 : low - room, high + room];
}

/** Ranges of the x axis and of each panel's y axis. Equal scales are met by widening the shorter one. */
export function rangesOf(chart: Chart, width: number): { x: Range; y: Range[] } {
  const marks = chart.panels.flatMap((panel) => panel.marks);
  const x = rangeOf(chart.x, marks, 'x');
  const y = chart.panels.map((panel: Panel) => rangeOf(panel.y, panel.marks, 'y'));
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
