import { type Axis, axisTitle, type Chart, type Mark, type Panel } from '../chart';
import { look } from '../look';
import { type Range, rangesOf } from '../ranges';
import { titleSize, wrapped } from '../svg/axes';
import type { PlotlyFigure, PlotlyObject } from './plotly-figure';
import { tracesOf } from './traces';

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

function axisLayout(axis: Axis, range: Range, title: string, more: PlotlyObject): PlotlyObject {
  const ends = axis.log ? range.map(Math.log10) : range;
  return {
    title: { text: axis.hidden ? '' : title, standoff: 8, font: { size: 14.5 } },
    type: axis.log ? 'log' : 'linear',
    range: ends.map((v) => Number(v.toPrecision(9))),
    visible: !axis.hidden,
    showline: true,
    mirror: true,
    linecolor: look.ink,
    ticks: 'outside',
    tickcolor: look.ink,
    showgrid: false,
    zeroline: false,
    exponentformat: 'power',
    ...(axis.log ? { dtick: 1 } : {}),
    ...(axis.ticks
      ? { tickvals: axis.ticks.map((t) => t.at), ticktext: axis.ticks.map((t) => t.label) }
      : {}),
    ...more,
  };
}

/** The title of a y axis over as many lines as its panel is low; own labels speak for themselves. */
function upright({ y, height }: Panel): string {
  if (y.ticks) return '';
  return wrapped(axisTitle(y), height, titleSize).join('<br>');
}

/** Shading, pictures and text of a panel, placed on its axes. */
function furniture(mark: Mark, yref: string, log: boolean, film: boolean): PlotlyObject {
  const at = (y: number) => (log ? Math.log10(y) : y);
  if (mark.type === 'shade') {
    const box = { type: 'rect', xref: 'x', yref: `${yref} domain`, y0: 0, y1: 1 };
    const fill = { fillcolor: look.blue, opacity: 0.1, line: { width: 0 }, layer: 'below' };
    const named = mark.name === undefined ? {} : { name: mark.name, showlegend: true };
    return { shapes: { ...box, x0: mark.from, x1: mark.to, ...fill, ...named } };
  }
  if (mark.type === 'image') {
    const size = { sizex: mark.x[1] - mark.x[0], sizey: mark.y[1] - mark.y[0] };
    const place = {
      xref: 'x',
      yref,
      x: mark.x[0],
      y: mark.y[1],
      sizing: 'stretch',
      layer: 'below',
    };
    return { images: { source: mark.source, ...place, ...size } };
  }
  if (mark.type === 'text') {
    const anchor = { start: 'left', middle: 'center', end: 'right' }[mark.anchor ?? 'middle'];
    const color = mark.colour ?? (film ? look.onFilm : look.ink);
    const font = { color, size: (mark.size ?? 12.5) * scaleUp };
    const place = { xref: 'x', yref, x: mark.x, y: at(mark.y), xanchor: anchor, yanchor: 'middle' };
    return {
      annotations: {
        text: mark.text,
        showarrow: false,
        font,
        ...(film ? {} : { bgcolor: 'rgba(255,255,255,0.6)' }),
        ...place,
      },
    };
  }
  if (mark.type !== 'strokes' || !mark.arrows || mark.strokes.length > 60) return {};
  const { colour: arrowcolor, width: arrowwidth } = mark.style;
  // The trace draws the shaft in its own dash; the annotation adds the head and the last stretch.
  const annotations = mark.strokes.map(([x0, y0, x, y]) => ({
    ...{ x, y, ax: x0 + 0.85 * (x - x0), ay: y0 + 0.85 * (y - y0) },
    ...{ xref: 'x', yref, axref: 'x', ayref: yref, text: '' },
    ...{ showarrow: true, arrowhead: 2, arrowsize: 1, arrowwidth, arrowcolor },
  }));
  return { annotations };
}

/** The chart as plain JSON for plotly: the same ranges, marks and words as the static picture. */
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
      automargin: true,
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
    for (const mark of panel.marks) {
      for (const trace of tracesOf(mark)) {
        const again = trace.name !== undefined && data.some(({ name }) => name === trace.name);
        const once = again ? { showlegend: false } : {};
        data.push({ type: 'scatter', xaxis: 'x', yaxis: yref, ...trace, ...once });
      }
      const more = furniture(mark, yref, panel.y.log === true, panel.film === true);
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
    barmode: 'overlay',
    bargap: 0,
    showlegend: named,
    legend: { ...below, bgcolor: 'rgba(0,0,0,0)' },
    xaxis: axisLayout(chart.x, ranges.x, axisLines.join('<br>'), {
      anchor: lowest,
      mirror: 'all',
      automargin: true,
    }),
    ...axes,
    ...lists,
  };
  return { data, layout };
}
