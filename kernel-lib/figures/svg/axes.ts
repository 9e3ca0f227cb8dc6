import { escapeText } from '../../display/bundle';
import { type Axis, axisTitle, look } from '../chart';
import { element, round, textElement, textWidth } from './element';

const tickSize = 12.5;
export const titleSize = 13.5;

/** Splits a title over lines no longer than `room`, between words. */
export function wrapped(text: string, room: number, size: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const longer = lines.length ? `${lines[lines.length - 1]} ${word}` : word;
    if (lines.length && textWidth(longer, size) <= room) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** Ticks, numbers and title below a panel. */
export function xAxis(axis: Axis, scale: Scale, left: number, right: number, y: number): string {
  const ticks = scale.ticks.map(({ at }) => `M${round(scale.at(at))} ${round(y)}v5`).join('');
  let free = Number.NEGATIVE_INFINITY;
  const numbers = scale.ticks.map(({ at, label }) => {
    const half = textWidth(label, tickSize) / 2;
    const x = scale.at(at);
    if (x - half < free) return '';
    free = x + half + 4;
    return textElement(x, y + 18, label, { 'text-anchor': 'middle', 'font-size': tickSize });
  });
  const title = textElement((left + right) / 2, y + 38, axisTitle(axis), {
    'text-anchor': 'middle',
    'font-size': titleSize,
  });
  const path = element('path', { d: ticks, stroke: look.ink });
  return path + element('g', { fill: look.ink }, [...numbers, title]);
}

/** Ticks, numbers and the upright title left of a panel. */
export function yAxis(axis: Axis, scale: Scale, x: number, top: number, bottom: number): string {
  const hasTicks = axis.ticks !== undefined;
  const ticks = hasTicks
    ? ''
    : scale.ticks.map(({ at }) => `M${round(x)} ${round(scale.at(at))}h-5`).join('');
  const numbers = scale.ticks.map(({ at, label }) =>
    textElement(x - 8, scale.at(at) + 4.4, label, { 'text-anchor': 'end', 'font-size': tickSize }),
  );
  const lines = hasTicks ? [] : wrapped(axisTitle(axis), bottom - top + 16, titleSize);
  const middle = (top + bottom) / 2;
  const title = lines.map((line, i) =>
    element(
      'text',
      {
        transform: `translate(${13 + i * 16} ${round(middle)}) rotate(-90)`,
        'text-anchor': 'middle',
        'font-size': titleSize,
      },
      escapeText(line),
    ),
  );
  const path = ticks ? element('path', { d: ticks, stroke: look.ink }) : '';
  return path + element('g', { fill: look.ink }, [...title, ...numbers]);
}

/** Room that the numbers and the title of a y axis need left of its panel. */
export function yAxisRoom(axis: Axis, scale: Scale, height: number): number {
  if (axis.hidden) return 0;
  const numbers = Math.max(0, ...scale.ticks.map(({ label }) => textWidth(label, tickSize)));
  const lines = axis.ticks ? 0 : wrapped(axisTitle(axis), height + 16, titleSize).length;
  return numbers + 12 + lines * 16 + (lines ? 4 : 0);
}

/** Maps an axis onto the picture. */
export interface Scale {
  readonly at: (value: number) => number;
  readonly ticks: readonly Tick[];
}

/**
 * The scale of an axis over the pixels `from` … `to`, with about one tick per `room` pixels.
 * Values that a logarithmic axis cannot show fall far below its lower end.
 */
export function scaleOf(
  axis: Axis,
  [low, high]: readonly [number, number],
  from: number,
  to: number,
  room: number,
): Scale {
  const count = Math.max(2, Math.floor(Math.abs(to - from) / room));
  const map = axis.log ? (v: number) => Math.log10(Math.max(v, low * 1e-3)) : (v: number) => v;
  const start = map(low);
  const perUnit = (to - from) / (map(high) - start);
  const ticks = axis.ticks ?? (axis.log ? logTicks : linearTicks)(low, high, count);
  return { at: (value) => from + (map(value) - start) * perUnit, ticks };
}

/** A place on an axis and what is written there. */
interface Tick {
  readonly at: number;
  readonly label: string;
}

/** The next round step, 1, 2 or 5 times a power of ten, that is not below `step`. */
export function roundStep(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step));
  for (const digit of [1, 2, 5]) {
    if (digit * power >= step * (1 - 1e-9)) return digit * power;
  }
  return 10 * power;
}

const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** An exponent in raised figures: −3 → ⁻³. */
function superscript(exponent: number): string {
  const digits = [...String(Math.abs(exponent))].map((d) => raised[Number(d)]).join('');
  return exponent < 0 ? `⁻${digits}` : digits;
}

/** A number as print writes it: a true minus sign, as many decimals as the step needs. */
export function tickLabel(value: number, step: number): string {
  if (Math.abs(value) < step * 1e-6) return '0';
  const exponent = Math.floor(Math.log10(Math.abs(value)) + 1e-9);
  if (exponent >= 5 || Math.floor(Math.log10(step) + 1e-9) < -4) {
    const mantissa = Number((value / 10 ** exponent).toPrecision(4));
    return `${mantissa}×10${superscript(exponent)}`.replace('-', '−');
  }
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return value.toFixed(decimals).replace('-', '−');
}

/** Round ticks from `low` to `high`, at most about `count` of them, but more than one. */
export function linearTicks(low: number, high: number, count: number): Tick[] {
  let step = roundStep((high - low) / Math.max(1, count));
  // 5, 2 and 1 of a power of ten follow one another by 0.4 or a little more.
  while (Math.floor(high / step + 1e-6) - Math.ceil(low / step - 1e-6) < 1)
    step = roundStep(0.4 * step);
  const ticks: Tick[] = [];
  for (let k = Math.ceil(low / step - 1e-6); k * step <= high + step * 1e-6; k++) {
    ticks.push({ at: k * step, label: tickLabel(k * step, step) });
  }
  return ticks;
}

/** Ticks at powers of ten; every second or third power where they would stand too close. */
export function logTicks(low: number, high: number, count: number): Tick[] {
  const first = Math.ceil(Math.log10(low) - 1e-9);
  const last = Math.floor(Math.log10(high) + 1e-9);
  if (last - first < 1) return linearTicks(low, high, count).filter((tick) => tick.at > 0);
  const every = Math.max(1, Math.ceil((last - first + 1) / count));
  const ticks: Tick[] = [];
  for (let k = last; k >= first; k -= every) {
    const label = k === 0 ? '1' : `10${superscript(k)}`;
    ticks.unshift({ at: 10 ** k, label });
  }
  return ticks;
}
