import {
  type Chart,
  type Dash,
  type Layer,
  look,
  type PointsLayer,
  rangesOf,
  type Shape,
  type StrokesLayer,
  type Style,
} from '../chart';
import { type Scale, scaleOf, xAxis, yAxis, yAxisRoom } from './axes';
import { element, round, textElement, textWidth } from './element';

/** Width of every static picture in its own units; shown 640 px wide where there is room. */
const pictureWidth = 520;
const shownWidth = 640;
const gap = 14;

/** Height per tick: a low panel still gets three or four. */
const roomFor = (height: number) => Math.min(34, height / 4);

/**
 * The chart as one self-contained SVG picture: no scripts, no fonts, no addresses to fetch.
 * Its numbers are picture units; it grows and shrinks with the page.
 */
export function toSvg(chart: Chart): string {
  const { panels } = chart;
  const first = rangesOf(chart, pictureWidth);
  const rooms = panels.map((panel, i) =>
    yAxisRoom(
      panel.y,
      scaleOf(panel.y, first.y[i], panel.height, 0, roomFor(panel.height)),
      panel.height,
    ),
  );
  const left = Math.max(14, ...rooms);
  const right = pictureWidth - 16;
  const ranges = rangesOf(chart, right - left);
  const x = scaleOf(chart.x, ranges.x, left, right, 50);

  const title = chart.title
    ? textElement(left, 20, chart.title, { 'font-size': 15, 'font-weight': 600, fill: look.ink })
    : '';
  const names = legend(chart, left, title ? 28 : 6, right - left);
  let top = (title ? 30 : 10) + names.height;

  const drawn = panels.map((panel, i) => {
    const bottom = top + panel.height;
    const y = scaleOf(panel.y, ranges.y[i], bottom, top, roomFor(panel.height));
    const place = { x, y, top, bottom, film: panel.film === true };
    const box = { x: left, y: top, width: right - left, height: panel.height };
    const ground = element('rect', { ...box, fill: panel.film ? look.film : '#ffffff' });
    const window = {
      ...box,
      viewBox: `${left} ${top} ${right - left} ${panel.height}`,
      overflow: 'hidden',
    };
    const content = element(
      'svg',
      window,
      panel.layers.map((layer) => drawLayer(layer, place)),
    );
    const frame = element('rect', { ...box, fill: 'none', stroke: look.ink, 'stroke-width': 1 });
    const axis = panel.y.hidden ? '' : yAxis(panel.y, y, left, top, bottom);
    top = bottom + gap;
    return ground + content + (panel.y.hidden && chart.x.hidden ? '' : frame) + axis;
  });
  const bottom = top - gap;
  const below = chart.x.hidden ? '' : xAxis(chart.x, x, left, right, bottom);
  const height = Math.ceil(bottom + (chart.x.hidden ? 10 : 48));
  const paper = element('rect', { width: pictureWidth, height, fill: look.paper });
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      role: 'img',
      'aria-label': chart.alt,
      width: shownWidth,
      height: Math.round((height * shownWidth) / pictureWidth),
      viewBox: `0 0 ${pictureWidth} ${height}`,
      style: 'max-width:100%;height:auto',
      'font-family': look.font,
    },
    [paper, title, names.markup, ...drawn, below],
  );
}

const size = 13;
const sample = 34;
const rowHeight = 19;

type Named = Layer & { readonly name: string };

const isNamed = (layer: Layer): layer is Named => 'name' in layer && layer.name !== undefined;

function sampleOf(layer: Named, x: number, y: number): string {
  const d = `M${x} ${y}h${sample - 8}`;
  switch (layer.type) {
    case 'points':
      if (layer.small) {
        return element('circle', { cx: x + 13, cy: y, r: 2.4, fill: layer.style.colour });
      }
      return shapeElement(layer.style.shape, x + 13, y, layer.style);
    case 'line':
    case 'strokes':
      return element('path', { d, ...strokeOf(layer.style) });
    case 'sticks':
      return element('path', { d: `M${x + 13} ${y - 6}v12`, stroke: layer.colours[0] });
    default:
      return element('rect', {
        ...{ x, y: y - 6, width: sample - 8, height: 12 },
        ...{ fill: look.blue, 'fill-opacity': 0.13 },
      });
  }
}

/** The names of the layers with a sample of each, wrapped into rows of at most `width`. */
function legend(chart: Chart, x: number, y: number, width: number) {
  const seen = new Set<string>();
  const named = chart.panels
    .flatMap((panel) => panel.layers)
    .filter(isNamed)
    .filter(({ name }) => !seen.has(name) && seen.add(name));
  let [column, row] = [0, 0];
  const markup = named.map((layer) => {
    const room = sample + textWidth(layer.name, size) + 12;
    if (column > 0 && column + room > width) [column, row] = [0, row + 1];
    const [left, middle] = [x + column, y + row * rowHeight + rowHeight / 2];
    column += room;
    const label = textElement(left + sample, middle + 4.5, layer.name, {
      fill: look.ink,
      'font-size': size,
    });
    return sampleOf(layer, left, middle) + label;
  });
  return { markup: markup.join(''), height: named.length ? (row + 1) * rowHeight + 6 : 0 };
}

interface Place {
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
function strokeOf(style: Style) {
  return {
    fill: 'none',
    stroke: style.colour,
    'stroke-width': style.width,
    'stroke-dasharray': dashArrays[style.dash],
    'stroke-linejoin': 'round',
  };
}

/** Outline of a point's shape around (x, y). */
function shapeElement(shape: Shape, x: number, y: number, style: Style): string {
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

function points(layer: PointsLayer, place: Place): string {
  if (layer.small) return dots(layer, place);
  const bars: string[] = [];
  const shapes = layer.x.map((value, i) => {
    const px = place.x.at(value);
    const py = place.y.at(layer.y[i]);
    if (!Number.isFinite(px) || !Number.isFinite(py)) return '';
    if (layer.uy?.[i]) {
      const [a, b] = [place.y.at(layer.y[i] - layer.uy[i]), place.y.at(layer.y[i] + layer.uy[i])];
      bars.push(`M${round(px)} ${round(a)}V${round(b)}m-3 0h6M${round(px - 3)} ${round(a)}h6`);
    }
    if (layer.ux?.[i]) {
      const [a, b] = [place.x.at(value - layer.ux[i]), place.x.at(value + layer.ux[i])];
      bars.push(`M${round(a)} ${round(py)}H${round(b)}m0 -3v6M${round(a)} ${round(py - 3)}v6`);
    }
    return shapeElement(layer.style.shape, px, py, layer.style);
  });
  const bar = { fill: 'none', stroke: layer.style.colour, 'stroke-width': 1.2 };
  return (bars.length ? element('path', { d: bars.join(''), ...bar }) : '') + shapes.join('');
}

/** Strokes without length and round ends: the shortest way to write many dots. */
function dots({ x, y, style }: PointsLayer, place: Place): string {
  const d = x.map((v, i) => `M${round(place.x.at(v))} ${round(place.y.at(y[i]))}h0`).join('');
  return element('path', {
    ...{ d, stroke: style.colour, 'stroke-width': 2.8, 'stroke-linecap': 'round' },
  });
}

function strokes(layer: StrokesLayer, place: Place): string {
  const heads: string[] = [];
  const lines = layer.strokes.map(([a, b, c, d]) => {
    const [x0, y0, x1, y1] = [place.x.at(a), place.y.at(b), place.x.at(c), place.y.at(d)];
    const length = Math.hypot(x1 - x0, y1 - y0);
    if (layer.arrows && length > 5) {
      const size = Math.min(9, length * 0.45);
      const [ux, uy] = [((x1 - x0) / length) * size, ((y1 - y0) / length) * size];
      const corner = (side: number) =>
        `${round(x1 - ux - side * uy * 0.42)} ${round(y1 - uy + side * ux * 0.42)}`;
      heads.push(`M${round(x1)} ${round(y1)}L${corner(1)}L${corner(-1)}Z`);
    }
    return `M${round(x0)} ${round(y0)}L${round(x1)} ${round(y1)}`;
  });
  const head = heads.length
    ? element('path', { d: heads.join(''), fill: layer.style.colour, stroke: 'none' })
    : '';
  return element('path', { d: lines.join(''), ...strokeOf(layer.style) }) + head;
}

/** One layer of a panel as SVG markup. */
function drawLayer(layer: Layer, place: Place): string {
  const { x, y, top, bottom } = place;
  switch (layer.type) {
    case 'line':
      return element('path', { d: pathThrough(layer.x, layer.y, place), ...strokeOf(layer.style) });
    case 'points':
      return points(layer, place);
    case 'strokes':
      return strokes(layer, place);
    case 'sticks':
      return layer.x
        .map((value, i) => {
          const d = `M${round(x.at(value))} ${round(y.at(0))}V${round(y.at(layer.y[i]))}`;
          const stroke = layer.colours[i % layer.colours.length];
          return element('path', { d, stroke, 'stroke-width': 2.2 });
        })
        .join('');
    case 'area':
      return layer.x
        .slice(1)
        .map((right, i) => {
          const [a, b, floor] = [x.at(layer.x[i]), x.at(right), y.at(0)];
          // A hair of overlap hides the seams between slices.
          const d = `M${round(a)} ${round(floor)}V${round(y.at(layer.y[i]))}L${round(b + 0.3)} ${round(y.at(layer.y[i + 1]))}V${round(floor)}Z`;
          return element('path', { d, fill: layer.colours[i] });
        })
        .join('');
    case 'shade': {
      const [a, b] = [x.at(layer.from), x.at(layer.to)];
      const box = { x: Math.min(a, b), y: top, width: Math.abs(b - a), height: bottom - top };
      return element('rect', { ...box, fill: look.blue, 'fill-opacity': 0.09 });
    }
    case 'image': {
      const [a, b] = [x.at(layer.x[0]), x.at(layer.x[1])];
      const [low, high] = [y.at(layer.y[0]), y.at(layer.y[1])];
      const box = { x: a, y: high, width: b - a, height: low - high };
      return element('image', { ...box, preserveAspectRatio: 'none', href: layer.source });
    }
    case 'hover':
      return '';
    case 'text': {
      const fill = layer.colour ?? (place.film ? look.onFilm : look.ink);
      const [anchor, size] = [layer.anchor ?? 'middle', layer.size ?? 12.5];
      return textElement(x.at(layer.x), y.at(layer.y) + size * 0.35, layer.text, {
        fill,
        'text-anchor': anchor === 'middle' ? 'middle' : anchor,
        'font-size': size,
        ...(place.film ? {} : halo),
      });
    }
  }
}
