import { type Axis, axisTitle, type Chart, type Mark, type Panel } from '../chart';
import { look } from '../look';
import { type Range, rangesOf } from '../ranges';
import { titleSize, wrapped } from '../svg/axes';
import type { PlotlyFigure, PlotlyObject } from './plotly-figure';
import { tracesOf } from './traces';

const margin = { l: 70, r: 18, t: 16, b: 56 };
const gap = 18;
const scaleUp = 1.15;
const above = { orientation: 'h', x: 0, xanchor: 'left', y: 1.01, yanchor: 'bottom' };

function axisLayout(axis: Axis, range: Range, title: string, more: PlotlyObject): PlotlyObject {
  const ends = axis.log ? range.map(Math.log10) : range;
  return {
    title: { text: axis.hidden ? '' : title, standoff: 8 },
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
  const annotations = mark.strokes.map(([ax, ay, x, y]) => ({
    ...{ x, y, ax, ay, xref: 'x', yref, axref: 'x', ayref: yref, text: '' },
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
        data.push({ type: 'scatter', xaxis: 'x', yaxis: yref, ...trace });
      }
      const more = furniture(mark, yref, panel.y.log === true, panel.film === true);
      for (const [list, items] of Object.entries(more)) lists[list].push(...[items].flat());
    }
  });
  const named = [...data, ...lists.shapes].some((one) => (one as PlotlyObject).showlegend === true);
  const lowest = panels.length === 1 ? 'y' : `y${panels.length}`;
  const t = margin.t + (named ? 34 : 0) + (chart.title ? 34 : 0);
  const layout = {
    ...(chart.title
      ? { title: { text: chart.title, x: 0, xref: 'paper', font: { size: 17, weight: 600 } } }
      : {}),
    font: { family: look.font, size: 14, color: look.ink },
    paper_bgcolor: look.paper,
    plot_bgcolor: '#ffffff',
    height: Math.round(inner + t + margin.b),
    margin: { ...margin, t },
    hovermode: 'closest',
    barmode: 'overlay',
    bargap: 0,
    showlegend: named,
    legend: { ...above, bgcolor: 'rgba(0,0,0,0)' },
    xaxis: axisLayout(chart.x, ranges.x, axisTitle(chart.x), { anchor: lowest, mirror: 'all' }),
    ...axes,
    ...lists,
  };
  return { data, layout };
}
