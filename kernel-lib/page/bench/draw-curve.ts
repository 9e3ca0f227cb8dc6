import type { BenchPattern } from '../../figures/bench/compute';
import { isEnd } from '../../figures/bench/ends';
import {
  envelopeOf,
  type Layers,
  missingMarks,
  type OrderMark,
  orderMarks,
  ordersOfSeveral,
  startLayers,
} from '../../figures/bench/layers';
import { thin } from '../../figures/chart';
import { formatNumber } from '../../quantity/format-number';

/** Colours and letters of the curve, as the page's style has them. */
export interface CurveLook {
  readonly ink: string;
  readonly soft: string;
  readonly rule: string;
  readonly ghost: string;
  readonly blue: string;
  readonly envelope: string;
  /** What the curve is drawn on. */
  readonly paper: string;
  readonly font: string;
  readonly letters: number;
  /** Width of the curve, pixels. */
  readonly thick: number;
}

/** Size in CSS pixels; `left` and `right` stay free, as beside the film above. */
interface CurveFrame {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
}

const DECADES = 4;
/** Of more points than this only the lowest and the highest of each stretch are drawn: no peak goes missing. */
const POINTS_PER_PIXEL = 2;
/** A change of height that nobody sees, pixels. */
const FLAT = 0.2;
/** Free above and below the plot, beside one line of letters, pixels. */
const ABOVE = 7;
const BELOW = 13;

/** Draw the brightness along the film, with the layers that are switched on; the pattern before the last move in grey behind it. */
export function drawCurve(
  context: CanvasRenderingContext2D,
  frame: CurveFrame,
  look: CurveLook,
  pattern: BenchPattern,
  before: BenchPattern | undefined,
  chosen: Layers = startLayers,
): void {
  // What is laid over the curve belongs to far fields of slits.
  const isFar = !isEnd(pattern.setting);
  const layers: Layers = isFar ? chosen : new Set(chosen.has('ghost') ? ['ghost'] : []);
  const ghost = layers.has('ghost') ? before : undefined;
  const { width, height, left, right } = frame;
  const { span, scale, absolute } = pattern.setting;
  const plotWidth = width - left - right;
  const base = height - look.letters - BELOW;
  const highest = look.letters + ABOVE;
  const reach = base - highest;
  const log = scale === 'log';
  const toX = (place: number) => left + (place / span + 0.5) * plotWidth;
  const gain = ({ gain: times }: BenchPattern) => (absolute ? times : 1);
  const top = topOf(Math.max(gain(pattern), ghost ? gain(ghost) : 0), log);
  const toY = (value: number) => {
    const share = value / top;
    return (
      base - reach * (log ? Math.max(0, 1 + Math.log10(Math.max(share, 1e-12)) / DECADES) : share)
    );
  };

  context.clearRect(0, 0, width, height);
  context.font = `${look.letters}px ${look.font}`;
  context.lineJoin = 'bevel';
  drawScale(context, frame, look, toY, ticksOf(top, log));
  drawFilmAxis(context, frame, look, span, toX, base);
  const missing = layers.has('missing') ? missingMarks(pattern) : [];
  drawOrders(context, look, pattern, missing, toX, highest);

  context.save();
  context.beginPath();
  context.rect(left, 0, plotWidth, base + 1);
  context.clip();
  const stroke = (
    curve: BenchPattern['brightness'],
    times: number,
    colour: string,
    thick: number,
  ) => {
    const { places, values } = curve;
    const most = POINTS_PER_PIXEL * plotWidth;
    const { x, y } = places.length > most ? thin(places, values, most) : { x: places, y: values };
    line(context, x, y, toX, (value) => toY(times * value), colour, thick);
  };
  if (ghost) stroke(ghost.brightness, gain(ghost), look.ghost, 1.7 * look.thick);
  if (layers.has('envelope')) {
    context.setLineDash([look.thick, 1.6 * look.thick]);
    stroke(envelopeOf(pattern), gain(pattern), look.envelope, 1.1 * look.thick);
    context.setLineDash([]);
  }
  if (pattern.single) {
    context.setLineDash([2.8 * look.thick, 2.2 * look.thick]);
    stroke(pattern.single, gain(pattern), look.blue, 0.9 * look.thick);
    context.setLineDash([]);
  }
  stroke(pattern.brightness, gain(pattern), look.ink, look.thick);
  if (layers.has('wavelengths')) drawSeveral(context, frame, look, pattern, toX, highest);
  context.restore();
  drawMissing(context, look, missing, toX, base);
}

/** Under the orders of the wavelength read at those of others, a row for each, named at its left end or its right. */
function drawSeveral(
  context: CanvasRenderingContext2D,
  { left, right, width }: CurveFrame,
  look: CurveLook,
  pattern: BenchPattern,
  toX: (place: number) => number,
  top: number,
): void {
  const row = 0.72 * look.letters;
  const ofName = 4.4 * look.letters;
  context.textBaseline = 'middle';
  ordersOfSeveral(pattern).forEach(({ name, colour, marks }, i) => {
    const y = top + 5 + i * row;
    const isLeft = i % 2 === 0;
    const isFree = (x: number) => (isLeft ? x > left + ofName : x < width - right - ofName);
    const xs = marks.map(({ place }) => toX(place)).filter(isFree);
    // A rim of ink, so that yellow on white and blue on black are found too.
    for (const [ink, thick] of [
      [look.ink, look.thick + 3],
      [colour, look.thick + 1],
    ] as const) {
      context.strokeStyle = ink;
      context.lineWidth = thick;
      context.beginPath();
      for (const x of xs) {
        context.moveTo(x, y);
        context.lineTo(x, y + row - 2);
      }
      context.stroke();
    }
    context.textAlign = isLeft ? 'left' : 'right';
    context.fillStyle = look.ink;
    context.fillText(name, isLeft ? left + 4 : width - right - 4, y + 0.5 * row);
  });
}

/** Rings on the axis where an order is missing. */
function drawMissing(
  context: CanvasRenderingContext2D,
  look: CurveLook,
  missing: readonly OrderMark[],
  toX: (place: number) => number,
  base: number,
): void {
  const radius = 0.36 * look.letters;
  context.strokeStyle = look.envelope;
  context.lineWidth = look.thick;
  for (const { place } of missing) {
    const x = toX(place);
    context.beginPath();
    context.arc(x, base, radius, 0, 2 * Math.PI);
    context.moveTo(x - 0.7 * radius, base + 0.7 * radius);
    context.lineTo(x + 0.7 * radius, base - 0.7 * radius);
    context.stroke();
  }
}

function line(
  context: CanvasRenderingContext2D,
  places: ArrayLike<number>,
  values: ArrayLike<number>,
  toX: (place: number) => number,
  toY: (value: number) => number,
  colour: string,
  width: number,
): void {
  context.strokeStyle = colour;
  context.lineWidth = width;
  context.beginPath();
  let [fromX, fromY] = [toX(places[0]), toY(values[0])];
  let [x, y] = [fromX, fromY];
  context.moveTo(x, y);
  for (let i = 1; i < places.length; i++) {
    const [lastX, lastY] = [x, y];
    x = toX(places[i]);
    y = toY(values[i]);
    // Where the curve is flat a few points are enough: stroking them is most of a frame's work.
    if (Math.abs(y - fromY) < FLAT && x - fromX < 8) continue;
    if (lastX !== fromX) context.lineTo(lastX, lastY);
    context.lineTo(x, y);
    [fromX, fromY] = [x, y];
  }
  context.lineTo(x, y);
  context.stroke();
}

/**
 * How high over the axis a brightness stands in the plot, 0 to 1 and beyond. Above its top line of letters and below
 * the axis stays free what `--above` and `--below` say in style/film.css.
 *
 * @param isTold counted as the scale counts; else against the middle
 */
export function shareOfHeight(pattern: BenchPattern, value: number, isTold = false): number {
  const { scale, absolute } = pattern.setting;
  const top = topOf(absolute ? pattern.gain : 1, scale === 'log');
  const share = (value * (absolute && !isTold ? pattern.gain : 1)) / top;
  return scale === 'log' ? Math.max(0, 1 + Math.log10(Math.max(share, 1e-12)) / DECADES) : share;
}

/** Where the scale ends: at the brightest middle; a logarithmic one at a power of ten. */
function topOf(most: number, log: boolean): number {
  return log ? 10 ** Math.ceil(Math.log10(most) - 1e-9) : most;
}

type Ticks = readonly (readonly [value: number, label: string])[];

function ticksOf(top: number, log: boolean): Ticks {
  if (log) {
    const power = Math.round(Math.log10(top));
    return Array.from({ length: DECADES + 1 }, (_, i): [number, string] => {
      const exponent = power - i;
      return [10 ** exponent, exponent === 0 ? '1' : `10${raised(exponent)}`];
    });
  }
  if (top === 1)
    return [
      [0, '0'],
      [0.25, ''],
      [0.5, '½'],
      [0.75, ''],
      [1, '1'],
    ];
  const step = roundStep(top / 5);
  const even = Array.from({ length: Math.floor(top / step + 1e-9) + 1 }, (_, i) => i * step);
  return even.map((value) => [value, formatNumber(value)]);
}

function raised(exponent: number): string {
  const digits = [...String(Math.abs(exponent))].map((digit) => '⁰¹²³⁴⁵⁶⁷⁸⁹'[Number(digit)]);
  return (exponent < 0 ? '⁻' : '') + digits.join('');
}

function drawScale(
  context: CanvasRenderingContext2D,
  { width, left, right }: CurveFrame,
  look: CurveLook,
  toY: (value: number) => number,
  ticks: Ticks,
): void {
  context.fillStyle = look.soft;
  context.strokeStyle = look.rule;
  context.lineWidth = 1;
  context.textAlign = 'right';
  context.textBaseline = 'middle';
  context.beginPath();
  for (const [value, label] of ticks) {
    const y = Math.round(toY(value)) + 0.5;
    context.moveTo(left, y);
    context.lineTo(width - right, y);
    context.fillText(label, left - 7, y);
  }
  context.stroke();
}

function drawFilmAxis(
  context: CanvasRenderingContext2D,
  { left, right, width }: CurveFrame,
  look: CurveLook,
  span: number,
  toX: (place: number) => number,
  base: number,
): void {
  const most = Math.max(2, (width - left - right) / (look.letters * 5));
  const step = roundStep((span * 1e3) / most);
  const half = Math.floor((span * 500) / step + 1e-9);
  context.strokeStyle = look.soft;
  context.fillStyle = look.soft;
  context.textAlign = 'center';
  context.textBaseline = 'top';
  context.beginPath();
  for (let i = -half; i <= half; i++) {
    const x = Math.round(toX((i * step) / 1e3)) + 0.5;
    context.moveTo(x, base);
    context.lineTo(x, base + 5);
    const label = String(Number((i * step).toPrecision(6))).replace('-', '−');
    context.fillText(i === 0 ? '0 mm' : label, x, base + 8);
  }
  context.stroke();
}

/** Where the orders of the wavelength read at fall; struck out where they are missing. */
function drawOrders(
  context: CanvasRenderingContext2D,
  look: CurveLook,
  { setting, reading }: BenchPattern,
  missing: readonly OrderMark[],
  toX: (place: number) => number,
  top: number,
): void {
  const { slits, spacing, focalLength } = setting;
  if (slits < 2 || isEnd(setting)) return;
  const apart = toX((reading / spacing) * focalLength) - toX(0);
  const every = Math.max(1, Math.ceil((look.letters * 2.6) / apart));
  context.fillStyle = look.blue;
  context.strokeStyle = look.blue;
  context.lineWidth = 1;
  context.textAlign = 'center';
  context.textBaseline = 'alphabetic';
  for (const { order, place } of orderMarks(setting, reading)) {
    if (order % every !== 0) continue;
    const x = toX(place);
    context.fillText(String(order).replace('-', '−'), x, top - 8);
    context.beginPath();
    context.moveTo(x, top - 5);
    context.lineTo(x, top);
    if (missing.some((mark) => mark.order === order)) {
      const [half, middle] = [0.5 * look.letters, top - 8 - 0.36 * look.letters];
      context.moveTo(x - half, middle + 0.25 * look.letters);
      context.lineTo(x + half, middle - 0.25 * look.letters);
    }
    context.stroke();
  }
}

/** 1, 2 or 5 times a power of ten, at least this. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((factor) => factor * power).find((step) => step >= least * 0.999)!;
}
