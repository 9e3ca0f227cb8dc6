import type { Mark } from '../chart';
import { look } from '../look';
import type { PlotlyObject } from './plotly-figure';

const scaleUp = 1.15;

/** Shading, pictures and text of a panel, placed on its axes. */
export function furniture(mark: Mark, yref: string, log: boolean, film: boolean): PlotlyObject {
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
