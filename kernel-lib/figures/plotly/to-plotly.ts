import {
  type AreaLayer,
  type Axis,
  axisTitle,
  type Chart,
  type Layer,
  type LineLayer,
  look,
  type Panel,
  type PointsLayer,
  type Range,
  rangesOf,
  type Shape,
  type SticksLayer,
  type StrokesLayer,
} from '../chart';
import { titleSize, wrapped } from '../svg/axes';

/** A trace or a layout as plotly takes it: plain JSON. */
type PlotlyObject = { readonly [key: string]: unknown };

/** What a plotly front end draws. */
export interface PlotlyFigure {
  readonly data: readonly PlotlyObject[];
  readonly layout: PlotlyObject;
}

const margin = { l: 70, r: 18, t: 16, b: 56 };

const gap = 18;

const scaleUp = 1.15;

const atTop = {
  ...{ x: 0, xref: 'paper', yref: 'container', y: 1, yanchor: 'top' },
  font: { size: 17, weight: 600 },
};

const below = {
  orientation: 'h',
  x: 0,
  xanchor: 'left',
  yref: 'container',
  y: 0,
  yanchor: 'bottom',
};

/** Titles are broken so that they fit a phone. */
const narrow = 300;

/** The chart as plain JSON for plotly: the same ranges, layers and words as the static picture. */
export function toPlotly(chart: Chart): PlotlyFigure {
  const { panels } = chart;
  const ranges = rangesOf(chart, 420);
  const heights = panels.map((panel) => panel.height * scaleUp);
  const inner = heights.reduce((sum, h) => sum + h + gap, -gap);
  const lists: Record<string, unknown[]> = { shapes: [], images: [], annotations: [] };
  const axes: Record<string, PlotlyObject> = {};
  const data: PlotlyObject[] = [];
  let used = 0;
  panels.forEach((panel, i) => {
    const yref = i === 0 ? 'y' : `y${i + 1}`;
    const domain = [1 - (used + heights[i]) / inner, 1 - used / inner].map((v) =>
      Math.min(1, Math.max(0, Number(v.toFixed(6)))),
    );
    used += heights[i] + gap;
    axes[yref.replace('y', 'yaxis')] = axisLayout(panel.y, ranges.y[i], upright(panel), {
      domain,
      anchor: 'x',
      ...(chart.equalScales ? { scaleanchor: 'x' } : {}),
    });
    if (panel.film) {
      const box = {
        type: 'rect',
        xref: 'x domain',
        yref: `${yref} domain`,
        x0: 0,
        x1: 1,
        y0: 0,
        y1: 1,
      };
      lists.shapes.push({ ...box, fillcolor: look.film, line: { width: 0 }, layer: 'below' });
    }
    for (const layer of panel.layers) {
      for (const trace of tracesOf(layer)) {
        const again = trace.name !== undefined && data.some(({ name }) => name === trace.name);
        const once = again ? { showlegend: false } : {};
        data.push({ type: 'scatter', xaxis: 'x', yaxis: yref, ...trace, ...once });
      }
      const more = furniture(layer, yref, panel.y.log === true, panel.film === true);
      for (const [list, items] of Object.entries(more)) lists[list].push(...[items].flat());
    }
  });
  const named = [...data, ...lists.shapes].some((one) => (one as PlotlyObject).showlegend === true);
  const lowest = panels.length === 1 ? 'y' : `y${panels.length}`;
  const titleLines = chart.title ? wrapped(chart.title, narrow, 17) : [];
  const axisLines = wrapped(axisTitle(chart.x), narrow, 14.5);
  const t = margin.t + 21 * titleLines.length;
  const b = (chart.x.hidden ? 12 : margin.b + 18 * (axisLines.length - 1)) + (named ? 26 : 0);
  const layout = {
    ...(chart.title
      ? {
          title: {
            ...atTop,
            text: titleLines.join('<br>'),
            pad: { t: 21 * titleLines.length - 11 },
          },
        }
      : {}),
    font: { family: look.font, size: 14, color: look.ink },
    paper_bgcolor: look.paper,
    plot_bgcolor: '#ffffff',
    height: Math.round(inner + t + b),
    margin: { ...margin, l: panels.every(({ y }) => y.hidden) ? margin.r : margin.l, t, b },
    hovermode: 'closest',
    ...(data.some(({ type }) => type === 'bar') ? { barmode: 'overlay', bargap: 0 } : {}),
    showlegend: named,
    ...(named ? { legend: { ...below, bgcolor: 'rgba(0,0,0,0)' } } : {}),
    ...(chart.leastWidth ? { meta: { leastWidth: chart.leastWidth } } : {}),
    xaxis: axisLayout(chart.x, ranges.x, axisLines.join('<br>'), {
      anchor: lowest,
      ...(chart.x.hidden ? {} : { mirror: 'all' }),
    }),
    ...axes,
    ...lists,
  };
  return { data, layout };
}

/** One axis for plotly; `more` says where it stands. A hidden axis keeps its range and its place only. */
function axisLayout(axis: Axis, range: Range, title: string, more: PlotlyObject): PlotlyObject {
  const ends = axis.log ? range.map(Math.log10) : range;
  const place = { range: ends.map((v) => Number(v.toPrecision(9))), ...more };
  if (axis.hidden) return { type: 'linear', visible: false, ...place };
  return {
    ...(title ? { title: { text: title, standoff: 8, font: { size: 14.5 } } } : {}),
    type: axis.log ? 'log' : 'linear',
    visible: true,
    showline: true,
    mirror: true,
    linecolor: look.ink,
    ticks: axis.ticks ? '' : 'outside',
    ...(axis.ticks ? {} : { tickcolor: look.ink }),
    showgrid: false,
    zeroline: false,
    ...numbers(axis),
    automargin: true,
    ...place,
  };
}

function numbers({ log, ticks }: Axis): PlotlyObject {
  if (ticks)
    return { tickvals: ticks.map(({ at }) => at), ticktext: ticks.map(({ label }) => label) };
  return { exponentformat: 'power', ...(log ? { dtick: 1 } : {}) };
}

/** The title of a y axis over as many lines as its panel is low; own labels speak for themselves. */
function upright({ y, height }: Panel): string {
  if (y.ticks) return '';
  return wrapped(axisTitle(y), height, titleSize).join('<br>');
}

/** The traces of one layer; pictures, shading and text are part of the layout instead. */
function tracesOf(layer: Layer): PlotlyObject[] {
  switch (layer.type) {
    case 'line':
      return [line(layer)];
    case 'points':
      return [points(layer)];
    case 'strokes':
      return [strokes(layer)];
    case 'sticks':
      return sticks(layer);
    case 'area':
      return [area(layer)];
    case 'hover': {
      const { text, x, y } = layer;
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

/** Six or seven figures are finer than any screen; what is not a number becomes a gap. */
function plain(values: readonly number[]): (number | null)[] {
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

function line(layer: LineLayer): PlotlyObject {
  const { colour: color, dash, width } = layer.style;
  return {
    ...named(layer.name),
    mode: 'lines',
    x: plain(layer.x),
    y: plain(layer.y),
    line: { color, dash, width },
  };
}

const bars = (u: readonly number[] | undefined, color: string) =>
  u ? { type: 'data', array: plain(u), visible: true, color, thickness: 1.2, width: 4 } : undefined;

function points(layer: PointsLayer): PlotlyObject {
  const { colour: color, shape } = layer.style;
  return {
    ...named(layer.name),
    mode: 'markers',
    x: plain(layer.x),
    y: plain(layer.y),
    marker: layer.small
      ? { color, size: 3.5 }
      : { color, symbol: symbols[shape], size: 9, line: { color, width: 1.8 } },
    ...(layer.ux ? { error_x: bars(layer.ux, color) } : {}),
    ...(layer.uy ? { error_y: bars(layer.uy, color) } : {}),
  };
}

function strokes(layer: StrokesLayer): PlotlyObject {
  const { colour: color, dash, width } = layer.style;
  const x = layer.strokes.flatMap(([x0, , x1]) => [...plain([x0, x1]), null]);
  const y = layer.strokes.flatMap(([, y0, , y1]) => [...plain([y0, y1]), null]);
  return {
    ...named(layer.name),
    mode: 'lines',
    x,
    y,
    line: { color, dash, width },
    hoverinfo: 'skip',
  };
}

function sticks(layer: SticksLayer): PlotlyObject[] {
  // One trace per colour, so that each line keeps its own.
  return [...new Set(layer.colours)].map((color, n) => {
    const chosen = layer.x
      .map((_, i) => i)
      .filter((i) => layer.colours[i % layer.colours.length] === color);
    return {
      ...named(n === 0 ? layer.name : undefined),
      mode: 'lines',
      x: chosen.flatMap((i) => [...plain([layer.x[i], layer.x[i]]), null]),
      y: chosen.flatMap((i) => [0, ...plain([layer.y[i]]), null]),
      line: { color, width: 2.4 },
    };
  });
}

function area(layer: AreaLayer): PlotlyObject {
  const middles = layer.x.slice(1).map((right, i) => (right + layer.x[i]) / 2);
  return {
    type: 'bar',
    x: plain(middles),
    y: plain(middles.map((_, i) => (layer.y[i] + layer.y[i + 1]) / 2)),
    width: plain(middles.map((_, i) => layer.x[i + 1] - layer.x[i])),
    marker: { color: layer.colours.slice(0, middles.length), line: { width: 0 } },
    hoverinfo: 'skip',
    showlegend: false,
  };
}

/** Shading, pictures and text of a panel, placed on its axes. */
function furniture(layer: Layer, yref: string, log: boolean, film: boolean): PlotlyObject {
  const at = (y: number) => (log ? Math.log10(y) : y);
  if (layer.type === 'shade') {
    const box = { type: 'rect', xref: 'x', yref: `${yref} domain`, y0: 0, y1: 1 };
    const fill = { fillcolor: look.blue, opacity: 0.1, line: { width: 0 }, layer: 'below' };
    const named = layer.name === undefined ? {} : { name: layer.name, showlegend: true };
    return { shapes: { ...box, x0: layer.from, x1: layer.to, ...fill, ...named } };
  }
  if (layer.type === 'image') {
    const size = { sizex: layer.x[1] - layer.x[0], sizey: layer.y[1] - layer.y[0] };
    const place = {
      xref: 'x',
      yref,
      x: layer.x[0],
      y: layer.y[1],
      sizing: 'stretch',
      layer: 'below',
    };
    return { images: { source: layer.source, ...place, ...size } };
  }
  if (layer.type === 'text') {
    const anchor = { start: 'left', middle: 'center', end: 'right' }[layer.anchor ?? 'middle'];
    const color = layer.colour ?? (film ? look.onFilm : look.ink);
    const font = { color, size: (layer.size ?? 12.5) * scaleUp };
    const place = {
      xref: 'x',
      yref,
      x: layer.x,
      y: at(layer.y),
      xanchor: anchor,
      yanchor: 'middle',
    };
    return {
      annotations: {
        text: layer.text,
        showarrow: false,
        font,
        ...(film ? {} : { bgcolor: 'rgba(255,255,255,0.6)' }),
        ...place,
      },
    };
  }
  if (layer.type !== 'strokes' || !layer.arrows || layer.strokes.length > 60) return {};
  const { colour: arrowcolor, width: arrowwidth } = layer.style;
  // The trace draws the shaft in its own dash; the annotation adds the head and the last stretch.
  const annotations = layer.strokes.map(([x0, y0, x, y]) => ({
    ...{ x, y, ax: x0 + 0.85 * (x - x0), ay: y0 + 0.85 * (y - y0) },
    ...{ xref: 'x', yref, axref: 'x', ayref: yref, text: '' },
    ...{ showarrow: true, arrowhead: 2, arrowsize: 1, arrowwidth, arrowcolor },
  }));
  return { annotations };
}
