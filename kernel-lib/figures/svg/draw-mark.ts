import type { Mark, PointsMark, StrokesMark } from '../chart';
import { type Dash, look, type Shape, type Style } from '../look';
import { element, round, textElement } from './element';
import type { Scale } from './scale';

export interface Place {
  readonly x: Scale;
  readonly y: Scale;
  /** Upper and lower end of the panel. */
  readonly top: number;
  readonly bottom: number;
  readonly film: boolean;
}

// White behind letters keeps them readable where they cross a line.
const halo = {
  stroke: '#ffffff',
  'stroke-width': 3,
  'stroke-opacity': 0.75,
  'paint-order': 'stroke',
};

const dashArrays: Record<Dash, string | undefined> = {
  solid: undefined,
  dash: '7 4',
  dot: '1.6 3.6',
  dashdot: '8 3 1.6 3',
  longdash: '13 5',
};

/** The stroke of a style as attributes. */
export function strokeOf(style: Style) {
  return {
    fill: 'none',
    stroke: style.colour,
    'stroke-width': style.width,
    'stroke-dasharray': dashArrays[style.dash],
    'stroke-linejoin': 'round',
  };
}

/** Outline of a point's shape around (x, y). */
export function shapeElement(shape: Shape, x: number, y: number, style: Style): string {
  const r = 4;
  const ink = { fill: look.paper, stroke: style.colour, 'stroke-width': 1.6 };
  if (shape === 'circle') return element('circle', { cx: x, cy: y, r, ...ink });
  const corners: Record<Exclude<Shape, 'circle'>, string> = {
    square: 'm-3.6 -3.6h7.2v7.2h-7.2z',
    triangle: 'm0 -4.8l4.6 8h-9.2z',
    diamond: 'm0 -5l5 5l-5 5l-5 -5z',
    cross: 'm-4 -4l8 8m-8 0l8 -8',
  };
  return element('path', { d: `M${round(x)} ${round(y)}${corners[shape]}`, ...ink });
}

/** A path through the points; a value that is not a number lifts the pen. */
function pathThrough(x: readonly number[], y: readonly number[], { x: sx, y: sy }: Place): string {
  let path = '';
  let down = false;
  for (let i = 0; i < x.length; i++) {
    const px = sx.at(x[i]);
    const py = sy.at(y[i]);
    const shown = Number.isFinite(px) && Number.isFinite(py);
    if (shown) path += `${down ? 'L' : 'M'}${round(px)} ${round(py)}`;
    down = shown;
  }
  return path;
}

function points(mark: PointsMark, place: Place): string {
  if (mark.small) return dots(mark, place);
  const bars: string[] = [];
  const shapes = mark.x.map((value, i) => {
    const px = place.x.at(value);
    const py = place.y.at(mark.y[i]);
    if (!Number.isFinite(px) || !Number.isFinite(py)) return '';
    if (mark.uy?.[i]) {
      const [a, b] = [place.y.at(mark.y[i] - mark.uy[i]), place.y.at(mark.y[i] + mark.uy[i])];
      bars.push(`M${round(px)} ${round(a)}V${round(b)}m-3 0h6M${round(px - 3)} ${round(a)}h6`);
    }
    if (mark.ux?.[i]) {
      const [a, b] = [place.x.at(value - mark.ux[i]), place.x.at(value + mark.ux[i])];
      bars.push(`M${round(a)} ${round(py)}H${round(b)}m0 -3v6M${round(a)} ${round(py - 3)}v6`);
    }
    return shapeElement(mark.style.shape, px, py, mark.style);
  });
  const bar = { fill: 'none', stroke: mark.style.colour, 'stroke-width': 1.2 };
  return (bars.length ? element('path', { d: bars.join(''), ...bar }) : '') + shapes.join('');
}

/** Strokes without length and round ends: the shortest way to write many dots. */
function dots({ x, y, style }: PointsMark, place: Place): string {
  const d = x.map((v, i) => `M${round(place.x.at(v))} ${round(place.y.at(y[i]))}h0`).join('');
  return element('path', {
    ...{ d, stroke: style.colour, 'stroke-width': 2.8, 'stroke-linecap': 'round' },
  });
}

function strokes(mark: StrokesMark, place: Place): string {
  const heads: string[] = [];
  const lines = mark.strokes.map(([a, b, c, d]) => {
    const [x0, y0, x1, y1] = [place.x.at(a), place.y.at(b), place.x.at(c), place.y.at(d)];
    const length = Math.hypot(x1 - x0, y1 - y0);
    if (mark.arrows && length > 5) {
      const size = Math.min(9, length * 0.45);
      const [ux, uy] = [((x1 - x0) / length) * size, ((y1 - y0) / length) * size];
      const corner = (side: number) =>
        `${round(x1 - ux - side * uy * 0.42)} ${round(y1 - uy + side * ux * 0.42)}`;
      heads.push(`M${round(x1)} ${round(y1)}L${corner(1)}L${corner(-1)}Z`);
    }
    return `M${round(x0)} ${round(y0)}L${round(x1)} ${round(y1)}`;
  });
  const head = heads.length
    ? element('path', { d: heads.join(''), fill: mark.style.colour, stroke: 'none' })
    : '';
  return element('path', { d: lines.join(''), ...strokeOf(mark.style) }) + head;
}

/** One mark of a panel as SVG markup. */
export function drawMark(mark: Mark, place: Place): string {
  const { x, y, top, bottom } = place;
  switch (mark.type) {
    case 'line':
      return element('path', { d: pathThrough(mark.x, mark.y, place), ...strokeOf(mark.style) });
    case 'points':
      return points(mark, place);
    case 'strokes':
      return strokes(mark, place);
    case 'sticks':
      return mark.x
        .map((value, i) => {
          const d = `M${round(x.at(value))} ${round(y.at(0))}V${round(y.at(mark.y[i]))}`;
          const stroke = mark.colours[i % mark.colours.length];
          return element('path', { d, stroke, 'stroke-width': 2.2 });
        })
        .join('');
    case 'area':
      return mark.x
        .slice(1)
        .map((right, i) => {
          const [a, b, floor] = [x.at(mark.x[i]), x.at(right), y.at(0)];
          // A hair of overlap hides the seams between slices.
          const d = `M${round(a)} ${round(floor)}V${round(y.at(mark.y[i]))}L${round(b + 0.3)} ${round(y.at(mark.y[i + 1]))}V${round(floor)}Z`;
          return element('path', { d, fill: mark.colours[i] });
        })
        .join('');
    case 'shade': {
      const [a, b] = [x.at(mark.from), x.at(mark.to)];
      const box = { x: Math.min(a, b), y: top, width: Math.abs(b - a), height: bottom - top };
      return element('rect', { ...box, fill: look.blue, 'fill-opacity': 0.09 });
    }
    case 'image': {
      const [a, b] = [x.at(mark.x[0]), x.at(mark.x[1])];
      const [low, high] = [y.at(mark.y[0]), y.at(mark.y[1])];
      const box = { x: a, y: high, width: b - a, height: low - high };
      return element('image', { ...box, preserveAspectRatio: 'none', href: mark.source });
    }
    case 'hover':
      return '';
    case 'text': {
      const fill = mark.colour ?? (place.film ? look.onFilm : look.ink);
      const [anchor, size] = [mark.anchor ?? 'middle', mark.size ?? 12.5];
      return textElement(x.at(mark.x), y.at(mark.y) + size * 0.35, mark.text, {
        fill,
        'text-anchor': anchor === 'middle' ? 'middle' : anchor,
        'font-size': size,
        ...(place.film ? {} : halo),
      });
    }
  }
}
