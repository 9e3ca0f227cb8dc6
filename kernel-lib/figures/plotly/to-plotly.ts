import { axisTitle, type Chart } from '../chart';
import { look } from '../look';
import { rangesOf } from '../ranges';
import { wrapped } from '../svg/axes';
import { axisLayout, upright } from './axis-layout';
import { furniture } from './furniture';
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
    ...(data.some(({ type }) => type === 'bar') ? { barmode: 'overlay', bargap: 0 } : {}),
    showlegend: named,
    ...(named ? { legend: { ...below, bgcolor: 'rgba(0,0,0,0)' } } : {}),
    xaxis: axisLayout(chart.x, ranges.x, axisLines.join('<br>'), {
      anchor: lowest,
      ...(chart.x.hidden ? {} : { mirror: 'all' }),
    }),
    ...axes,
    ...lists,
  };
  return { data, layout };
}
