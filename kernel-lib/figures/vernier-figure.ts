import { formatQuantity } from '../quantity/known-unit';
import { type VernierScale, vernierScale } from '../spectrometer/vernier';
import { type Layer, look, type StrokesLayer, type Style, styleOf, type TextLayer } from './chart';
import { type Figure, figureOf } from './figure';
import { textWidth } from './svg/element';

export interface VernierFigureOptions {
  /** Least count, rad: 1′ (the default), 30″, 20″, 10″ or another that the scale allows. */
  readonly leastCount?: number;
  /** One division of the circle, rad; the usual one for the least count unless told. */
  readonly mainDivision?: number;
  /** Draw the zero exactly at `angle`, between two readings, as it stands on a real circle. */
  readonly exact?: boolean;
  /** Number of the vernier line to look at through a magnifier: only its neighbourhood is drawn, large. */
  readonly magnify?: number;
  readonly title?: string;
}

/** At most this many vernier divisions stand in one row, so that a step between lines can be seen. */
const rowLength = 15;
const magnified = 3;
const rowHeight = 96;
const lengths = { long: 0.27, middle: 0.21, short: 0.15 };
const arcminute = Math.PI / 10800;
const degree = Math.PI / 180;
/** Size of the numbers, and the width of the whole drawing, in the picture's own units. */
const textSize = 13;
const drawnWidth = 490;
const thin: Style = { ...styleOf(3), dash: 'solid', width: 1.1 };

interface Row {
  /** First and last vernier line of the row. */
  readonly from: number;
  readonly to: number;
}

/**
 * A divided circle with its vernier, drawn line by line so that the reading can be taken. A long
 * vernier is drawn in several rows, each going on where the one above ends.
 *
 * @param angle where the vernier's zero stands, rad, any turn
 * @param options `leastCount`, rad; `magnify` a vernier line; see VernierFigureOptions
 * @returns a Figure whose text alternative tells as much as the drawing: the reading has to be found from it
 * @throws RangeError for a least count that does not fit, or a line that the vernier does not have
 * @example vernierFigure(degrees(12, 47)).kind // 'vernier'
 */
export function vernierFigure(angle: number, options: VernierFigureOptions = {}): Figure {
  const { magnify, title } = options;
  const scale = vernierScale(angle, options);
  const rows = magnify === undefined ? rowsOf(scale.divisions) : [around(magnify, scale.divisions)];
  const margin = magnify === undefined ? 2.2 : 0.8;
  const width = Math.max(...rows.map(({ from, to }) => to - from)) + 2 * margin;
  const layers = rows.flatMap((row, n) =>
    rowLayers(scale, row, rows.length - 1 - n, margin, width),
  );
  return figureOf({
    kind: 'vernier',
    alt: sentence(scale),
    title: title ?? `Circle in °, vernier in ${scale.labelUnit}`,
    x: { quantity: 'angle', unit: '°', hidden: true, range: [0, width] },
    // The numbers of the circle stand side by side from there on.
    ...(magnify === undefined && { leastWidth: 620 }),
    panels: [
      {
        height: rowHeight * rows.length,
        y: { quantity: 'rows', unit: 'none', hidden: true, range: [0, rows.length] },
        layers,
      },
    ],
  });
}

function rowsOf(divisions: number): Row[] {
  const count = Math.ceil(divisions / rowLength);
  const each = Math.ceil(divisions / count);
  return Array.from({ length: count }, (_, n) => ({
    from: n * each,
    to: Math.min(divisions, (n + 1) * each),
  }));
}

function around(line: number, divisions: number): Row {
  if (Number.isInteger(line) && line >= 0 && line <= divisions) {
    return { from: line - magnified, to: line + magnified };
  }
  throw new RangeError(
    `magnify is ${line}, but the vernier's lines are numbered from 0 to ${divisions}. Give one of them.`,
  );
}

/** One row: main lines rise from the edge, vernier lines hang from it. `level` counts rows from the bottom. */
function rowLayers(
  scale: VernierScale,
  { from, to }: Row,
  level: number,
  margin: number,
  width: number,
): Layer[] {
  const edge = level + 0.5;
  const { vernier, main, mainDivision } = scale;
  const step = vernier[1].angle - vernier[0].angle;
  const start = vernier[0].angle + from * step;
  const at = (angle: number) => margin + (angle - start) / mainDivision;
  const inside = (x: number, room: number) => x >= room && x <= width - room;
  const hanging = vernier.filter(({ index }) => index >= from && index <= to);
  const strokes = [
    ...main.map(({ angle, length }) => ({ x: at(angle), end: edge + lengths[length] })),
    ...hanging.map(({ angle, length }) => ({ x: at(angle), end: edge - lengths[length] })),
  ].filter(({ x }) => inside(x, 0));
  const lines: StrokesLayer = {
    type: 'strokes',
    strokes: strokes.map(({ x, end }) => [x, edge, x, end] as const),
    style: thin,
  };
  const border: StrokesLayer = {
    type: 'strokes',
    strokes: [[0, edge, width, edge]],
    style: { ...thin, colour: look.soft, width: 0.6 },
  };
  // A number that the edge would cut is left out: its line stands without one.
  const room = (text: string) => ((textWidth(text, textSize) / 2 + 1) * width) / drawnWidth;
  const label = (angle: number, y: number, text = '', colour: string = look.ink): TextLayer[] =>
    text && inside(at(angle), room(text))
      ? [{ type: 'text', x: at(angle), y, text, colour, size: textSize }]
      : [];
  return [
    border,
    lines,
    ...main.flatMap((line) => label(line.angle, edge + 0.37, line.label)),
    ...hanging.flatMap((line) => label(line.angle, edge - 0.37, line.label, look.blue)),
  ];
}

function sentence(scale: VernierScale): string {
  const whole = scale.leastCount > arcminute * 0.999;
  const least = formatQuantity(scale.leastCount, whole ? 'arcmin' : 'arcsec');
  const each = formatQuantity(
    scale.mainDivision,
    scale.mainDivision < degree * 0.999 ? 'arcmin' : 'deg',
  );
  return `Divided circle with a line every ${each}, and a vernier of ${scale.divisions} divisions, least count ${least}. ${whereZero(scale)} ${whereLines(scale)}`;
}

/** Between which two lines with numbers the zero stands, as near as an eye judges it. */
function whereZero({ vernier: [zero] }: VernierScale): string {
  // A zero that stands on a line may be a hair before it by rounding.
  const before = Math.floor(zero.angle / degree + 1e-9);
  const tenths = Math.round(10 * (zero.angle / degree - before));
  const named = (degrees: number) => `${((degrees % 360) + 360) % 360}°`;
  return `The vernier's zero stands between ${named(before)} and ${named(before + 1)}, about ${tenths} tenths of the way.`;
}

/** What the magnifier shows, at the vernier's lines with numbers: enough to find the one that meets a line, by thinking. */
function whereLines({ vernier, mainDivision }: VernierScale): string {
  const lines = vernier.filter(({ index, label }) => label && index > 0);
  const told = lines.map(({ index, angle }) => {
    const past = angle / mainDivision;
    const share = (past - Math.floor(past + 1e-6)).toFixed(2);
    return `line ${index} by ${share === '1.00' ? '0.00' : share.replace('-', '')}`;
  });
  return `As parts of the way to the next line of the circle, the vernier's lines, counted from 0, stand past a line of it: ${told.join(', ')}.`;
}
