import { type Axis, axisTitle, type Panel } from '../chart';
import { look } from '../look';
import type { Range } from '../ranges';
import { titleSize, wrapped } from '../svg/axes';
import type { PlotlyObject } from './plotly-figure';

/** One axis for plotly; `more` says where it stands. A hidden axis keeps its range and its place only. */
export function axisLayout(
  axis: Axis,
  range: Range,
  title: string,
  more: PlotlyObject,
): PlotlyObject {
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
export function upright({ y, height }: Panel): string {
  if (y.ticks) return '';
  return wrapped(axisTitle(y), height, titleSize).join('<br>');
}
