import type { AreaMark, LineMark, Mark, PointsMark, SticksMark, StrokesMark } from '../chart';
import type { Shape } from '../look';
import type { PlotlyObject } from './plotly-figure';

/** Six or seven figures are finer than any screen; what is not a number becomes a gap. */
export function plain(values: readonly number[]): (number | null)[] {
  return values.map((v) => (Number.isFinite(v) ? Number(v.toPrecision(7)) : null));
}

const symbols: Record<Shape, string> = {
  circle: 'circle-open',
  square: 'square-open',
  triangle: 'triangle-up-open',
  diamond: 'diamond-open',
  cross: 'x-thin-open',
};

function named(name: string | undefined): PlotlyObject {
  return name === undefined ? { showlegend: false } : { name, showlegend: true };
}

function line(mark: LineMark): PlotlyObject {
  const { colour: color, dash, width } = mark.style;
  return {
    ...named(mark.name),
    mode: 'lines',
    x: plain(mark.x),
    y: plain(mark.y),
    line: { color, dash, width },
  };
}

const bars = (u: readonly number[] | undefined, color: string) =>
  u ? { type: 'data', array: plain(u), visible: true, color, thickness: 1.2, width: 4 } : undefined;

function points(mark: PointsMark): PlotlyObject {
  const { colour: color, shape } = mark.style;
  return {
    ...named(mark.name),
    mode: 'markers',
    x: plain(mark.x),
    y: plain(mark.y),
    marker: mark.small
      ? { color, size: 3.5 }
      : { color, symbol: symbols[shape], size: 9, line: { color, width: 1.8 } },
    ...(mark.ux ? { error_x: bars(mark.ux, color) } : {}),
    ...(mark.uy ? { error_y: bars(mark.uy, color) } : {}),
  };
}

function strokes(mark: StrokesMark): PlotlyObject {
  const { colour: color, dash, width } = mark.style;
  const x = mark.strokes.flatMap(([x0, , x1]) => [...plain([x0, x1]), null]);
  const y = mark.strokes.flatMap(([, y0, , y1]) => [...plain([y0, y1]), null]);
  return {
    ...named(mark.name),
    mode: 'lines',
    x,
    y,
    line: { color, dash, width },
    hoverinfo: 'skip',
  };
}

function sticks(mark: SticksMark): PlotlyObject[] {
  // One trace per colour, so that each line keeps its own.
  return [...new Set(mark.colours)].map((color, n) => {
    const chosen = mark.x
      .map((_, i) => i)
      .filter((i) => mark.colours[i % mark.colours.length] === color);
    return {
      ...named(n === 0 ? mark.name : undefined),
      mode: 'lines',
      x: chosen.flatMap((i) => [...plain([mark.x[i], mark.x[i]]), null]),
      y: chosen.flatMap((i) => [0, ...plain([mark.y[i]]), null]),
      line: { color, width: 2.4 },
    };
  });
}

function area(mark: AreaMark): PlotlyObject {
  const middles = mark.x.slice(1).map((right, i) => (right + mark.x[i]) / 2);
  return {
    type: 'bar',
    x: plain(middles),
    y: plain(middles.map((_, i) => (mark.y[i] + mark.y[i + 1]) / 2)),
    width: plain(middles.map((_, i) => mark.x[i + 1] - mark.x[i])),
    marker: { color: mark.colours.slice(0, middles.length), line: { width: 0 } },
    hoverinfo: 'skip',
    showlegend: false,
  };
}

/** The traces of one mark; pictures, shading and text are part of the layout instead. */
export function tracesOf(mark: Mark): PlotlyObject[] {
  switch (mark.type) {
    case 'line':
      return [line(mark)];
    case 'points':
      return [points(mark)];
    case 'strokes':
      return [strokes(mark)];
    case 'sticks':
      return sticks(mark);
    case 'area':
      return [area(mark)];
    case 'hover': {
      const { text, x, y } = mark;
      const seen = { mode: 'markers', marker: { opacity: 0, size: 24 }, showlegend: false };
      return [
        {
          ...seen,
          x: plain(x),
          y: plain(y),
          text: [...text],
          hovertemplate: '%{text}<extra></extra>',
        },
      ];
    }
    default:
      return [];
  }
}
